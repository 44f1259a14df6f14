import { expect, test } from 'vitest';
import { countWords, type FindDraft, nextDraft, readFind } from '../../../../src/places/in-field/find-draft.ts';
import { farWords } from '../../../../src/places/in-field/far-words.ts';

const pressed = {
  at: [-93.49912345678, 42.00012345678] as const,
  accuracyM: 4.04,
  time: '2026-08-29T14:30:00Z',
  on: '2026-08-29',
  random: 0.5,
  photo: null,
};
const empty = nextDraft(null, 'waterhemp', null, 'us');
const read = (more: Partial<FindDraft>, display: 'us' | 'metric' = 'us') =>
  readFind({ ...empty, ...more }, pressed, display);
function valueOf(...args: Parameters<typeof read>) {
  const outcome = read(...args);
  if ('wrong' in outcome) throw new Error(JSON.stringify(outcome.wrong));
  return outcome.value;
}

test('a find is never marked with a count or a ground that nobody said', () => {
  expect(read({})).toMatchObject({
    wrong: { plants: expect.stringContaining('0 where you looked'), area: expect.any(String) },
  });
  expect(read({ plants: 3, ground: 'row' })).toMatchObject({
    wrong: { rowLength: expect.any(String), rowSpacing: expect.any(String) },
  });
});

test('what was said is kept in SI, with place, accuracy and time', () => {
  expect(valueOf({ plants: 3, area: '10', height: '4', note: ' by the gate ' })).toEqual({
    id: '20260829T143000Z-80000000',
    at: [-93.4991235, 42.0001235],
    on: '2026-08-29',
    time: '2026-08-29T14:30:00Z',
    species: 'waterhemp',
    count: 3,
    effortM2: 10 * 0.3048 ** 2,
    accuracyM: 4,
    heightMm: 102,
    note: 'by the gate',
  });
});

test('none, at least so many, and seen are each their own kind of count', () => {
  expect(valueOf({ plants: 0, area: '10' }).count).toBe(0);
  expect(valueOf({ plants: 20, counting: 'at least', area: '10' }).count).toEqual({ atLeast: 20 });
  expect(valueOf({ counting: 'seen', area: '10' }).count).toEqual({ present: true });
  expect([0, { atLeast: 20 }, { present: true }, { present: false }].map(countWords)).toEqual([
    '0',
    '20 or more',
    'seen',
    'none seen',
  ]);
});

test('a length of row keeps its spacing; the next find has the same weed and ground, and no count', () => {
  const find = valueOf({ plants: 2, ground: 'row', rowLength: '5', rowSpacing: '76', species: 'kochia' }, 'metric');
  expect(find).toMatchObject({ effortM2: 3.8, alongRow: { lengthM: 5, spacingM: 0.76 } });
  expect(nextDraft(find, 'waterhemp', 0.38, 'metric')).toMatchObject({
    species: 'kochia',
    plants: null,
    ground: 'row',
    rowLength: '5',
    rowSpacing: '76',
  });
});

test('ways are said as people say them', () => {
  expect([4, 73, 800, 5000, 40_000].map((one) => farWords(one, 'us'))).toEqual([
    '13 ft',
    '240 ft',
    '0.5 mi',
    '3.1 mi',
    '25 mi',
  ]);
  expect([4, 240, 1500].map((one) => farWords(one, 'metric'))).toEqual(['4 m', '240 m', '1.5 km']);
});
