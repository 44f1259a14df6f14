import { expect, test } from 'vitest';
import { fieldNotesImporter } from '../../../shared/import/field-notes.ts';
import { geojsonImporter } from '../../../shared/import/geojson.ts';
import { notedFind } from '../../../shared/model/field-notes.ts';
import { findIn } from '../../support/finds.ts';
import { certainty, codes, readText, recordsOf, told } from '../../support/import-text.ts';
import { boundaries } from '../../support/small-farm.ts';

const noted = (...args: Parameters<typeof findIn>) => notedFind(findIn(...args), undefined);
const notes = (finds: readonly unknown[], more: object = {}) =>
  JSON.stringify(
    { format: 'seedfall field notes', version: 1, farm: { id: 'two', name: 'Two' }, finds, ...more },
    null,
    1,
  );
const read = (text: string) => readText(fieldNotesImporter, text, {}, 'notes.json');

test('field notes are known by what they say of themselves, whatever their name', () => {
  const text = notes([noted('West', 10, 10, 1)]);
  expect(certainty(fieldNotesImporter, text, 'renamed.txt')).toBe(1);
  expect(certainty(geojsonImporter, text, 'notes.json')).toBeLessThan(0.5);
  expect(certainty(fieldNotesImporter, boundaries(), 'notes.json')).toBe(0);
});

test('each find is an observation with its place, accuracy, effort and height', () => {
  const outcome = read(
    notes([
      noted('West', 10, 10, 1, { heightMm: 90 }),
      noted('West', 20, 10, 2, { count: { atLeast: 20 }, alongRow: { lengthM: 4, spacingM: 0.75 } }),
      noted('West', 30, 10, 3, { count: { present: true } }),
    ]),
  );
  const { observations, notes: behind } = recordsOf(outcome, 'scouting');
  expect(codes(outcome)).toEqual([]);
  expect(observations.map((one) => [one.count, one.effortM2, one.heightMm, one.accuracyM, one.row])).toEqual([
    [1, 1, 90, 4, 1],
    [{ atLeast: 20 }, 3, undefined, 4, 2],
    [{ present: true }, 1, undefined, 4, 3],
  ]);
  expect(behind?.finds).toHaveLength(3);
});

test('a find that cannot be used is told with its number, and takes no other with it', () => {
  const good = noted('West', 10, 10, 1);
  for (const [broken, code, text] of [
    [{ ...good, effort: { areaM2: 0 } }, 'find-invalid', 'Find 1: effort'],
    [{ ...good, count: -3 }, 'find-invalid', 'Find 1: count'],
    [{ ...good, at: [0, 0] }, 'position-missing', '0, 0 is no position'],
    [{ ...good, at: [190, 42] }, 'position-missing', '42, 190 is no position'],
    [{ ...good, on: '2026-02-30' }, 'date-unreadable', '2026-02-30'],
    [{ ...good, time: '2026-08-29T25:00:00Z' }, 'date-unreadable', 'T25'],
    [{ ...good, species: 'triffid' }, 'species-unknown', 'triffid'],
    [{ ...good, species: 'AMATU' }, 'species-unknown', 'AMATU'],
    [null, 'find-invalid', 'Find 1: it'],
  ] as const) {
    const outcome = read(notes([broken, noted('West', 20, 10, 2)]));
    expect(told(outcome, code).text).toContain(text);
    expect(told(outcome, code).where).toEqual({ file: 'notes.json', row: 1 });
    expect(recordsOf(outcome, 'scouting').observations.map((one) => one.row)).toEqual([2]);
  }
});

test('a count that is not whole is kept as written, and asked about', () => {
  const outcome = read(notes([noted('West', 10, 10, 1, { count: 2.5 })]));
  expect(told(outcome, 'count-fractional').text).toContain('2.5');
  expect(recordsOf(outcome, 'scouting').observations[0]!.count).toBe(2.5);
});

test('a position that is off by 200 m and says so is kept and told', () => {
  const outcome = read(notes([noted('West', 10, 10, 1, { accuracyM: 200 }), noted('West', 12, 10, 2)]));
  expect(told(outcome, 'position-rough').text).toBe('Find 1: its position is good to 200 m only.');
  expect(recordsOf(outcome, 'scouting').observations).toHaveLength(2);
});

test('a position that jumps 200 m within a second is told, also where it claims to be good', () => {
  const start = noted('West', 10, 10, 1);
  const jumped = { ...noted('East', 10, 10, 2), time: start.time.replace(':00Z', ':01Z') };
  const outcome = read(notes([start, jumped]));
  expect(told(outcome, 'position-jump').text).toMatch(/^Find 2 lies 320 m from find 1, 1 s after it/);
  // A minute is enough to drive there.
  expect(codes(read(notes([start, noted('East', 10, 10, 2)])))).toEqual([]);
});

test('the same find twice counts once; one id with two contents is told', () => {
  const one = noted('West', 10, 10, 1);
  expect(codes(read(notes([one, one])))).toEqual(['find-twice']);
  const outcome = read(notes([one, { ...one, count: 9 }]));
  expect(codes(outcome)).toEqual(['find-differs']);
  expect(recordsOf(outcome, 'scouting').observations.map((it) => it.count)).toEqual([1]);
});

test('notes that were cut, are newer, or hold nothing are refused with what to do', () => {
  const text = notes([noted('West', 10, 10, 1)]);
  expect(told(read(text.slice(0, -30)), 'notes-cut').text).toMatch(/in line \d+/);
  expect(told(read(notes([], { version: 2 })), 'notes-newer').hint).toBe('Bring it in with the newer version.');
  expect(told(read(notes([], { farm: 'two' })), 'notes-invalid').text).toContain('farm');
  expect(codes(read(notes([])))).toEqual(['no-finds']);
  expect(read('null').ok).toBe(false);
});
