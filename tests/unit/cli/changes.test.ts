import { beforeAll, describe, expect, test } from 'vitest';
import type { FieldChange, WeedOverRounds } from '../../../shared/analysis/changes.ts';
import { changeFinding, changeNotes } from '../../../shared/analysis/change-words.ts';
import type { MemoryHost } from '../../support/memory-host.ts';
import { documentOf, hostWithFarm } from '../../support/small-farm-host.ts';
import { counts, ratings, scouting, SIDE_M } from '../../support/small-farm.ts';

/** The other half of the field than in the round of August. */
const northOnly = (_x: number, y: number, n: number) => (y > SIDE_M / 2 ? 2 + (n % 3) * 3 : 0);
const nowhere = () => 0;

let host: MemoryHost;
beforeAll(() => {
  host = hostWithFarm('farm');
  const files = {
    'june.csv': scouting(
      counts('West', [5, 5], northOnly, '2026-06-10'),
      counts('Middle', [3, 3], nowhere, '2026-06-10'),
    ),
    'last-year.csv': scouting(counts('West', [5, 5], nowhere, '2025-08-20')),
    'ratings-2025.csv': ratings.replaceAll('2026', '2025').replace('West,', 'East,'),
    'ratings-2026.csv': 'field,species,rating,date\nEast,waterhemp,throughout,2026-06-11\n',
  };
  for (const [name, text] of Object.entries(files)) host.write(name, new TextEncoder().encode(text));
  const { code, err } = host.run('add', 'farm', ...Object.keys(files));
  if (code !== 0) throw new Error(err);
}, 120_000);

const roundOf = (day: string) => documentOf(host, 'farm').rounds.find((one) => one.from <= day && day <= one.to)!.id;
const change = (field: string, ...words: string[]) =>
  host.json<FieldChange>('changes', 'farm', '--field', field, ...words);

describe('changes on a field', () => {
  test('between two rounds of one season are told cell by cell, and their areas make up the field', () => {
    const { earlier, later, ground, areaM2 } = change('west');
    expect([earlier.from, later.from]).toEqual(['2026-06-10', '2026-08-28']);
    const { appeared, gone, stayed, clean, unknown } = ground!.areaM2;
    expect(appeared + gone + stayed + clean + unknown).toBeCloseTo(areaM2, 0);
    // The weed changed halves: hardly anything stayed, and about as much went as came.
    expect(appeared).toBeGreaterThan(0.25 * areaM2);
    expect(gone).toBeGreaterThan(0.25 * areaM2);
    expect(stayed).toBeLessThan(0.2 * areaM2);
    const { low, central, high } = ground!.infestedChangeM2;
    expect(low! <= central! && central! <= high!).toBe(true);
    expect([low! < 0, high! > 0]).toEqual([true, true]);
  });

  test('at the same places are more in the south and fewer in the north', () => {
    const { samePlaces } = change('west');
    expect([samePlaces.pairs.length, samePlaces.more, samePlaces.less, samePlaces.same]).toEqual([25, 10, 10, 5]);
    expect(samePlaces.p).toBeCloseTo(1, 12);
  });

  test('back to last year, where none was found, are new; ground without a place near by then is unknown', () => {
    const told = change('west', '--from', roundOf('2025-08-20'), '--to', roundOf('2026-08-28'));
    expect(told.turn).toBe('new');
    expect(told.ground!.areaM2.gone).toBe(0);
    // 25 places 24 m apart each speak for 12 m about them: π·12² of 24² of the ground, about.
    const spoken = 1 - told.ground!.areaM2.unknown / told.areaM2;
    expect(Math.abs(spoken - (Math.PI * 12 ** 2) / 24 ** 2)).toBeLessThan(0.06);
    expect(changeNotes(told, 'us').join(' ')).toContain('is not none: with 95% confidence fewer than 11%');
  });

  test('the other way around it was not found again, as far as was looked, and the bound stands beside it', () => {
    const told = change('west', '--from', roundOf('2026-08-28'), '--to', roundOf('2025-08-20'));
    expect(changeFinding(told, 'West', 'waterhemp')).toBe(
      'Waterhemp was not found again in West, as far as was looked',
    );
    expect(changeNotes(told, 'us').some((one) => one.includes('is not none'))).toBe(true);
    expect(told.ground!.areaM2.appeared).toBe(0);
    expect(told.ground!.areaM2.gone).toBeGreaterThan(0);
  });

  test('between two words are words, with no ground', () => {
    const told = change('east');
    expect([told.turn, told.ground]).toEqual(['spread', null]);
    expect(changeNotes(told, 'us')[0]).toBe('The word went from “patches” to “throughout”: a word names no ground.');
  });

  test('between a word and counts name no ground either, and say why', () => {
    const told = change('middle', '--from', roundOf('2025-08-20'), '--to', roundOf('2026-06-10'));
    expect([told.turn, told.ground]).toEqual(['gone as far as was looked', null]);
    expect(changeNotes(told, 'us')[0]).toContain('One of the rounds rests on a word');
  });
});

describe('a weed over the farm', () => {
  test('is told field by field and round by round, the earliest first', () => {
    const { rounds, fields } = host.json<WeedOverRounds>('changes', 'farm');
    expect(rounds.map((one) => one.season)).toEqual([2025, 2026, 2026]);
    expect(fields.map((one) => [one.field, one.rounds.map((it) => it.told.rests), one.last!.turn])).toEqual([
      ['west', ['counts', 'counts', 'counts'], 'still there'],
      ['middle', ['word', 'counts', 'counts'], 'new'],
      ['east', ['word', 'word', 'nothing'], 'spread'],
    ]);
  });

  test('is said in words, and goes out as a table with a row a field and round', () => {
    const { out } = host.run('changes', 'farm', '--out', 'rounds.csv');
    expect(out.replace(/\s+/g, ' ')).toContain('Waterhemp from round to round: new in Middle; more of it in East.');
    expect(out).toContain('none at 25 places, at most 11% of such places');
    expect(out).toContain('rated “throughout”');
    expect(host.text('rounds.csv').split('\r\n').length).toBe(1 + 3 * 3 + 1);
  });

  test.each([
    [['--weed', 'giraffe'], 'no weed "giraffe"'],
    [['--field', 'north'], 'no field with the id "north"'],
    [['--from', 'round-2025'], 'say which, --field'],
    [['--field', 'west', '--from', 'round-1999'], 'no round "round-1999"'],
    [['--field', 'west', '--from', 'round-2025', '--to', 'round-2025'], 'Two different rounds'],
    [['--out', 'rounds.pdf'], 'ends in .csv'],
  ])('%s is refused with what to do', (words, says) => {
    const { code, err } = host.run('changes', 'farm', ...words);
    expect([code, err]).toEqual([2, expect.stringContaining(says)]);
  });
});
