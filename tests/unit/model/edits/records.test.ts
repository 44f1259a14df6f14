/** What a person knows without a file: ratings, patches and counts join the rounds that a file's would. */
import { describe, expect, it } from 'vitest';
import { addCount, removeCount, type TypedCount } from '../../../../shared/model/edits/counts.ts';
import { addPatch, changePatch, patchesIn, removePatch } from '../../../../shared/model/edits/patches.ts';
import { rateField, ratingIn } from '../../../../shared/model/edits/ratings.ts';
import { roundOfDays } from '../../../../shared/model/edits/rounds.ts';
import type { Farm } from '../../../../shared/model/farm.ts';
import { after, EAST, PALMER, patchArea, twoFieldFarm, WATERHEMP, WEST } from '../../../support/two-field-farm.ts';

const rated = { field: WEST, species: WATERHEMP, season: 2026 } as const;
const count: TypedCount = { at: [-93.4995, 42.0005], on: '2026-07-04', species: 'waterhemp', effortM2: 1, count: 0 };

function withFileRatings(): Farm {
  const farm = after(twoFieldFarm(), rateField(twoFieldFarm(), { ...rated, rating: 'few', on: '2026-06-01' }));
  const file = { id: 'f-1', sha256: 'a'.repeat(64), name: 'r.csv', bytes: 1, kind: 'ratings' as const };
  return {
    ...farm,
    files: [{ ...file, reading: { importer: 'ratings-table', columns: {} } }],
    rounds: farm.rounds.map((one) => ({ ...one, files: ['f-1'] })),
  };
}

describe('a rating by one press', () => {
  it('opens a round on a farm with boundaries only, and the weed is then looked for', () => {
    const farm = after(twoFieldFarm(), rateField(twoFieldFarm(), { ...rated, rating: 'patches', on: '2026-06-01' }));
    expect(farm.rounds).toEqual([
      {
        id: 'round-2026',
        season: 2026,
        from: '2026-06-01',
        to: '2026-06-01',
        files: [],
        typed: [],
        patches: [],
        ratings: [{ field: 'west', species: 'waterhemp', rating: 'patches' }],
      },
    ]);
    expect(farm.thresholdPerM2).toEqual({ waterhemp: 1 });
  });

  it('replaces the word of the same round, and keeps that of an earlier one', () => {
    let farm = after(twoFieldFarm(), rateField(twoFieldFarm(), { ...rated, rating: 'patches', on: '2026-06-01' }));
    farm = after(farm, rateField(farm, { ...rated, rating: 'few', on: '2026-06-10' }));
    expect(farm.rounds.map((one) => [one.to, one.ratings.length])).toEqual([['2026-06-10', 1]]);
    farm = after(farm, rateField(farm, { ...rated, rating: 'none seen', on: '2026-08-20' }));
    expect(farm.rounds.map((one) => one.id)).toEqual(['round-2026', 'round-2026-2']);
    expect(ratingIn(farm, 2026, 'west', 'waterhemp', [])).toBe('none seen');
    expect(ratingIn(farm, 2025, 'west', 'waterhemp', [])).toBeNull();
  });

  it('of one weed and field leaves the others as they are', () => {
    let farm = after(twoFieldFarm(), rateField(twoFieldFarm(), { ...rated, rating: 'patches', on: null }));
    farm = after(farm, rateField(farm, { ...rated, species: PALMER, rating: 'none seen', on: null }));
    farm = after(farm, rateField(farm, { ...rated, field: EAST, rating: 'few', on: null }));
    expect(farm.rounds).toHaveLength(1);
    expect([farm.rounds[0]!.from, farm.rounds[0]!.to]).toEqual(['2026-01-01', '2026-12-31']);
    expect(farm.rounds[0]!.ratings.map((one) => one.rating)).toEqual(['patches', 'none seen', 'few']);
  });

  it('"not looked" takes the word back in every round of the season, and adds no weed', () => {
    let farm = after(twoFieldFarm(), rateField(twoFieldFarm(), { ...rated, rating: 'few', on: '2026-06-01' }));
    farm = after(farm, rateField(farm, { ...rated, rating: 'patches', on: '2026-08-20' }));
    farm = after(farm, rateField(farm, { ...rated, rating: 'not looked', on: '2026-08-21' }));
    expect(farm.rounds.map((one) => one.ratings)).toEqual([[], []]);
    const none = after(twoFieldFarm(), rateField(twoFieldFarm(), { ...rated, rating: 'not looked', on: null }));
    expect([none.rounds, none.thresholdPerM2]).toEqual([[], {}]);
  });

  it('stands before the word of a file in the same round, not before that of a later one', () => {
    const said = { field: 'west', species: 'waterhemp', rating: 'throughout' } as const;
    const farm = after(twoFieldFarm(), rateField(twoFieldFarm(), { ...rated, rating: 'few', on: '2026-06-01' }));
    const word = (of: Farm) => ratingIn(of, 2026, 'west', 'waterhemp', [{ ...said, round: 'round-2026' }]);
    expect(word(farm)).toBe('few');
    const { round, ...rest } = { round: farm.rounds[0]!, ...farm };
    expect(word({ ...rest, rounds: [{ ...round, ratings: [] }] })).toBe('throughout');
    const later = { ...round, id: 'round-2026-2', to: '2026-09-01', ratings: [] };
    expect(
      ratingIn({ ...farm, rounds: [round, later] }, 2026, 'west', 'waterhemp', [{ ...said, round: later.id }]),
    ).toBe('throughout');
  });

  it('"not looked" stands against the word of a file', () => {
    const farm = withFileRatings();
    const taken = after(farm, rateField(farm, { ...rated, rating: 'not looked', on: null }));
    expect(taken.rounds[0]!.ratings).toEqual([{ field: 'west', species: 'waterhemp', rating: 'not looked' }]);
  });
});

describe('a round', () => {
  it('takes what was found within three weeks of it, on either side', () => {
    const farm = after(twoFieldFarm(), rateField(twoFieldFarm(), { ...rated, rating: 'few', on: '2026-07-01' }));
    const joins = (on: string, season = 2026) => roundOfDays(farm, { season, from: on, to: on }) !== null;
    expect(['2026-06-10', '2026-07-22'].map((on) => joins(on))).toEqual([true, true]);
    expect(['2026-06-09', '2026-07-23'].map((on) => joins(on))).toEqual([false, false]);
    expect(joins('2026-07-01', 2025)).toBe(false);
  });
});

describe('a drawn patch', () => {
  const given = { ...rated, area: patchArea, density: 'medium', on: '2026-07-01' } as const;

  it('is added, reshaped, made thicker and deleted, each by an edit of its own', () => {
    let farm = after(twoFieldFarm(), addPatch(twoFieldFarm(), given));
    farm = after(farm, addPatch(farm, { ...given, density: { perM2: 4 } }));
    expect(patchesIn(farm, 2026, 'west').map((one) => one.patch.density)).toEqual(['medium', { perM2: 4 }]);
    expect(patchesIn(farm, 2026, 'east')).toEqual([]);
    expect(patchesIn(farm, 2025, null)).toEqual([]);
    const [first, second] = patchesIn(farm, 2026, null);
    farm = after(farm, changePatch(farm, first!, { density: 'thick' }, WEST));
    const smaller = [[[...patchArea[0]![0]!]]];
    farm = after(farm, changePatch(farm, second!, { area: smaller }, WEST));
    expect(farm.rounds[0]!.patches.map((one) => one.density)).toEqual(['thick', { perM2: 4 }]);
    farm = after(farm, removePatch(farm, first!, WEST));
    expect(farm.rounds[0]!.patches).toHaveLength(1);
    expect(() => removePatch(farm, { round: 'round-2026', index: 5 }, WEST)).toThrow(/no patch 5/);
  });
});

describe('a typed count', () => {
  it('of none is a look without the weed, and joins the round of its day', () => {
    let farm = after(twoFieldFarm(), rateField(twoFieldFarm(), { ...rated, rating: 'few', on: '2026-07-01' }));
    farm = after(farm, addCount(farm, count, WEST, WATERHEMP));
    expect(farm.rounds).toHaveLength(1);
    expect([farm.rounds[0]!.to, farm.rounds[0]!.typed]).toEqual(['2026-07-04', [count]]);
    farm = after(farm, removeCount(farm, { round: 'round-2026', index: 0 }, WEST));
    expect(farm.rounds[0]!.typed).toEqual([]);
    expect(() => removeCount(farm, { round: 'round-2026', index: 0 }, WEST)).toThrow(/no count 0/);
  });
});
