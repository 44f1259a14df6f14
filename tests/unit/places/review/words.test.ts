import { describe, expect, test } from 'vitest';
import type { ColumnChoice } from '../../../../shared/analysis/review-columns.ts';
import { problem, ProblemList } from '../../../../shared/model/problem.ts';
import { boundsOf, isNear, planSheet } from '../../../../src/places/review/plan-sheet.ts';
import { hintHere, problemGroups } from '../../../../src/places/review/problem-groups.ts';
import { factLines, headline, readsAs, sizeText } from '../../../../src/places/review/words.ts';
import { given, onBench } from '../../../support/review-bench.ts';
import {
  boundaries,
  counts,
  crops,
  harvestLog,
  ratings,
  ring,
  scouting,
  sprayings,
  weather,
} from '../../../support/small-farm.ts';

describe('the heading', () => {
  test('says what the files bring, fields of several files together', () => {
    expect(headline(1, ['8 fields'])).toBe('This file brings 8 fields');
    expect(headline(3, ['8 fields', '6 fields', 'a round of 2 observations'])).toBe(
      '3 files bring 14 fields and a round of 2 observations',
    );
    expect(headline(6, ['1 field', 'a', 'b', 'c', 'd'])).toBe('5 of 6 files can be added: 1 field, a, b and 2 more');
  });
  test('says that nothing can be added', () => {
    expect(headline(0, [])).toBe('There is nothing to add in what was dropped');
    expect(headline(1, [])).toBe('This file cannot be added as it is');
    expect(headline(4, [])).toBe('None of these 4 files can be added as they are');
  });
});

test('every kind of file says what it holds', () => {
  const { reviews } = onBench([
    given('b.geojson', boundaries()),
    given('rounds.csv', scouting(counts('West', [4, 4]))),
    given('west.csv', harvestLog('West')),
    given('ratings.csv', ratings),
    given('weather.csv', weather(2026)),
    given('crops.csv', crops),
    given('sprayings.csv', sprayings),
  ]);
  const lines = reviews.flatMap((one) => factLines(one.facts!, 'us'));
  expect(lines).toEqual([
    '3 fields, together 10.7 ac.',
    '16 observations on 2026-08-28.',
    'Waterhemp: found at 8 of 16 places, on 172 ft² looked at.',
    '910 records from 2026-10-03 13:53 to 2026-10-03 14:08 UTC.',
    'The file does not say which crop it is.',
    '1 “patches” and 1 “few”.',
    '365 days from 2026-01-01 to 2026-12-31.',
    '4 rows of 2025 and 2026: corn and soybean.',
    '2 rows: S-metolachlor.',
  ]);
  expect([sizeText(512), sizeText(250_412), sizeText(3_186_258)]).toEqual(['512 bytes', '250 kB', '3.2 MB']);
});

describe('what a column reads as', () => {
  const choice = (unit: string | undefined, sample: [number, number, number], quantity: ColumnChoice['quantity']) =>
    ({
      id: 'x',
      title: 'x',
      quantity,
      taken: { column: 'x', because: '', by: 'guess', ...(unit ? { unit } : {}) },
      units: [],
      sample: { count: 3, min: sample[0], median: sample[1], max: sample[2] },
      values: [],
    }) as ColumnChoice;
  test('shows a wrong unit: 360 inches taken as feet is a header of 360 feet', () => {
    expect(readsAs(choice('in', [360, 360, 360], 'length'), 'us')).toBe('30 ft throughout');
    expect(readsAs(choice('ft', [360, 360, 360], 'length'), 'us')).toBe('360 ft throughout');
  });
  test('small ground and rain are said in small units', () => {
    expect(readsAs(choice('m2', [0.25, 1, 2], 'area'), 'metric')).toBe('around 1, from 0.25 to 2 m²');
    expect(readsAs(choice('mm', [0, 4, 142], 'length'), 'us')).toBe('around 0.157, from 0 to 5.59 in');
    expect(readsAs(choice('mm', [0, 4, 142], 'length'), 'metric')).toBe('around 4, from 0 to 142 mm');
  });
  test('bushels and plain numbers are said as they are written', () => {
    expect(readsAs(choice('bu/ac', [10, 180, 240], 'mass per area'), 'us')).toBe('around 180, from 10 to 240 bu/ac');
    expect(readsAs(choice(undefined, [0, 2, 18], null), 'us')).toBe('around 2, from 0 to 18');
  });
});

describe('problems', () => {
  test('alike are one group with every row, also those that are only counted', () => {
    const list = new ProblemList();
    for (let row = 2; row < 90; row++)
      list.add(problem('warning', 'bad', `Row ${row}: bad.`, { where: { file: 'a.csv', row } }));
    list.add(problem('error', 'worse', 'Worse.', { where: { file: 'a.csv', row: 40 } }));
    const [worse, bad] = problemGroups(list.list());
    expect(worse).toMatchObject({ level: 'error', count: 1, rows: [40] });
    expect(bad).toMatchObject({ level: 'warning', count: 88, text: 'Row 2: bad.', isCutShort: false });
    expect(bad!.rows).toEqual(Array.from({ length: 88 }, (_, n) => n + 2));
    expect(bad!.more.length).toBe(19);
  });
  test('whose rows are too many to list say so', () => {
    const list = new ProblemList();
    for (let row = 2; row < 12_000; row++) list.add(problem('note', 'bad', 'Bad.', { where: { row } }));
    expect(problemGroups(list.list())[0]).toMatchObject({ count: 11_998, isCutShort: true });
  });
  test('hint at what stands on the page, not at options', () => {
    const hint = (text: string, code = 'x') => hintHere(problem('note', code, '', { hint: text }));
    expect(hint('Say the season (--season 2026).')).toBe('Say the season.');
    expect(hint('Say which: station = "IA0200".')).toBe('Say which: “IA0200”.');
    expect(hint('One species for all: species = "=waterhemp", or "=pigweed" if not told apart.')).toBe(
      'One species for all: “waterhemp”, or “pigweed” if not told apart.',
    );
    expect(hintHere(problem('note', 'x', ''))).toBeNull();
  });
});

test('the plan keeps north up, one scale both ways, and everything on the sheet', () => {
  const polygon = [[ring('West', 0, 0, 100, 50)]];
  const sheet = planSheet(boundsOf(polygon), 400, 300, 20);
  const [southWest, southEast, northEast] = polygon[0]![0]!.map((at) => sheet.place(at));
  expect(southEast![0] - southWest![0]).toBeCloseTo(360, 0);
  expect((southEast![1] - northEast![1]) / (southEast![0] - southWest![0])).toBeCloseTo(0.5, 2);
  expect(northEast![1]).toBeLessThan(southEast![1]);
  expect(isNear([0, 0, 1, 1], [1.2, 0, 2, 1])).toBe(true);
  expect(isNear([0, 0, 1, 1], [1.4, 0, 2, 1])).toBe(false);
});
