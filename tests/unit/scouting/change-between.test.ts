import { describe, expect, test } from 'vitest';
import type { ScoutedPlace } from '../../../shared/agronomy/scouting-density.ts';
import { CELL_STATES, cellChange, groundSaid, rangeOfChange } from '../../../shared/scouting/change-between.ts';
import { roundTold, turnOf } from '../../../shared/scouting/round-told.ts';
import { samePlaces, signTest } from '../../../shared/scouting/same-places.ts';

const grid = { x0M: 0, y0M: 0, columns: 6, rows: 1, cellM: 5 };
const none = new Float64Array(6).fill(NaN);
const known = (text: string) => Uint8Array.from(text, Number);
const place = (xM: number, count: number, more: Partial<ScoutedPlace> = {}): ScoutedPlace => ({
  xM,
  yM: 2.5,
  effortM2: 1,
  count,
  ...more,
});

describe('what a round says of the ground', () => {
  const map = {
    basis: 'surface',
    spacingM: 30,
    densityPerM2: none,
    probabilityAbove: null,
    known: known('000000'),
  } as const;

  test('is above the threshold where that is likelier than not, and unknown where the map is', () => {
    const probabilityAbove = Float64Array.from([0.5, 0.49, 1, 0, NaN, 0.9]);
    const said = groundSaid({ ...map, known: known('111100'), probabilityAbove }, grid, [], 1);
    expect([...said]).toEqual([1, 0, 1, 0, 2, 2]);
  });

  test('of a map without chances goes by its density, at the same threshold', () => {
    const densityPerM2 = Float64Array.from([0, 1, 2.9, 3, 10, NaN]);
    const said = groundSaid({ ...map, basis: 'drawn patches', known: known('111111'), densityPerM2 }, grid, [], 3);
    expect([...said]).toEqual([0, 0, 0, 1, 1, 2]);
  });

  test('of a clean round is below it only as far as its places reach, half the way to each other', () => {
    const said = groundSaid({ ...map, basis: 'clean round', spacingM: 12 }, grid, [place(2.5, 0), place(14.5, 0)], 1);
    // Reach of 6 m about 2.5 and 14.5; centers of cells at 2.5, 7.5, 12.5, 17.5, 22.5, 27.5.
    expect([...said]).toEqual([0, 0, 0, 0, 2, 2]);
  });
});

describe('change between two rounds', () => {
  test('is told of ground that both know; areas of all states add up to the field', () => {
    const change = cellChange(known('001122'), known('010120'), [25, 25, 25, 25, 25, 10]);
    expect([...change.cells].map((one) => CELL_STATES[one])).toEqual([
      'clean',
      'appeared',
      'gone',
      'stayed',
      'unknown',
      'unknown',
    ]);
    expect(change.areaM2).toEqual({ clean: 25, appeared: 25, gone: 25, stayed: 25, unknown: 35 });
    expect(() => cellChange(known('0'), known('01'), [1])).toThrow('cells');
  });

  test('goes the other way in the other order', () => {
    const [a, b] = [known('001122'), known('010120')];
    const there = cellChange(a, b, new Float64Array(6).fill(1)).areaM2;
    const back = cellChange(b, a, new Float64Array(6).fill(1)).areaM2;
    expect(back).toEqual({ ...there, gone: there.appeared, appeared: there.gone });
  });

  test('outside of the field is nothing', () => {
    expect([...cellChange(known('11'), known('10'), [0, 4]).cells].map((one) => CELL_STATES[one])).toEqual([
      'outside',
      'gone',
    ]);
  });

  test('of areas is as wide as both ranges allow', () => {
    const [before, after] = [
      { low: 2, central: 5, high: 9 },
      { low: 1, central: 3, high: 4 },
    ];
    expect(rangeOfChange(before, after)).toEqual({ low: -8, central: -2, high: 2 });
    expect(rangeOfChange(before, { low: null, central: null, high: null }).central).toBeNull();
  });
});

describe('a weed from round to round', () => {
  const counted = (...counts: number[]) =>
    roundTold({ places: counts.map((count, i) => place(30 * i, count)), rating: null, patches: [] });
  const word = (rating: 'none seen' | 'few' | 'patches' | 'throughout' | 'not looked') =>
    roundTold({ places: [], rating, patches: [] });

  test('of a clean round is never none without its bound', () => {
    // 1 − 0.05^(1/3) and 3.0/Σe.
    const { clean, found, meanPerM2 } = counted(0, 0, 0);
    expect(found).toBe(false);
    expect(clean!.shareBelow).toBeCloseTo(0.6316, 4);
    expect(clean!.belowPerM2).toBeCloseTo(2.9957 / 3, 4);
    expect(meanPerM2.high).toBeGreaterThan(0);
  });

  test('has mean, clumping and their reasons by the rules of a round', () => {
    const clumped = counted(0, 0, 9, 1, 0, 4, 0, 22, 0, 3);
    expect(clumped.meanPerM2.central).toBeCloseTo(3.9, 12);
    expect([clumped.k === null, clumped.kBecause]).toEqual([false, null]);
    expect(counted(0, 2, 0).kBecause).toContain('too few to tell');
    expect(counted(0, 0).kBecause).toBeNull();
  });

  test('is new, gone as far as was looked, or still there', () => {
    expect(turnOf(counted(0, 0, 0), counted(0, 1, 0))).toBe('new');
    expect(turnOf(counted(4, 1, 0), counted(0, 0, 0))).toBe('gone as far as was looked');
    expect(turnOf(counted(0, 0), counted(0))).toBe('still none as far as was looked');
    expect(turnOf(word('none seen'), counted(0, 3))).toBe('new');
    expect(turnOf(word('patches'), counted(1, 3))).toBe('still there');
  });

  test('has spread only where two ranges stay clear of each other, or two words differ', () => {
    const [few, many] = [counted(1, 0, 1, 0, 2, 1, 0, 1), counted(20, 25, 18, 22, 21, 24, 19, 20)];
    expect([turnOf(few, many), turnOf(many, few), turnOf(few, few)]).toEqual(['spread', 'less', 'still there']);
    expect(turnOf(counted(1, 0, 1), counted(2, 0, 1))).toBe('still there');
    expect(turnOf(word('few'), word('throughout'))).toBe('spread');
    expect(turnOf(word('throughout'), word('patches'))).toBe('less');
  });

  test('cannot be told where nobody looked at one of the ends', () => {
    expect(turnOf(roundTold(null), counted(3))).toBe('cannot tell');
    expect(turnOf(counted(3), word('not looked'))).toBe('cannot tell');
  });
});

describe('counts at the same places', () => {
  test('pair up the nearest, each once, and no farther than a phone can be off', () => {
    const { pairs } = samePlaces([place(0, 1), place(8, 2), place(100, 3)], [place(6, 5), place(111, 4), place(1, 0)]);
    expect(pairs.map((one) => [one.earlier.xM, one.later.xM, one.turn])).toEqual([
      [0, 1, 'less'],
      [8, 6, 'more'],
    ]);
    expect(samePlaces([], [place(0, 1)]).pairs).toEqual([]);
  });

  test('are held against each other by density, so that another size of ground is no change', () => {
    const told = samePlaces([place(0, 2, { effortM2: 1 })], [place(0, 8, { effortM2: 4 })]);
    expect([told.same, told.earlierPerM2, told.laterPerM2]).toEqual([1, 2, 2]);
  });

  test('that stopped early, or only said "seen", tell no more than they hold', () => {
    const turn = (a: ScoutedPlace, b: ScoutedPlace) => samePlaces([a], [b]).pairs[0]!.turn;
    const [capped, seen, unseen] = [
      place(0, 20, { atLeast: true }),
      place(0, 1, { presenceOnly: true }),
      place(0, 0, { presenceOnly: true }),
    ];
    expect(turn(capped, place(0, 5))).toBe('less');
    expect(turn(capped, place(0, 50))).toBe('cannot tell');
    expect(turn(place(0, 5), capped)).toBe('more');
    expect(turn(place(0, 50), capped)).toBe('cannot tell');
    expect(turn(capped, capped)).toBe('cannot tell');
    expect(turn(unseen, place(0, 9))).toBe('more');
    expect(turn(seen, place(0, 9))).toBe('cannot tell');
    expect(samePlaces([seen], [unseen])).toMatchObject({ less: 1, earlierPerM2: null });
  });

  // Binomial with p = 1/2 by hand: 2·(1 + 10 + 45)/1024 = 0.109375 for 2 of 10; 2/32 for 0 of 5.
  test('are tested by their signs', () => {
    expect(signTest(8, 2)).toBeCloseTo(0.109375, 12);
    expect(signTest(0, 5)).toBeCloseTo(0.0625, 12);
    expect(signTest(3, 3)).toBe(1);
    expect(signTest(0, 0)).toBeNull();
    expect(signTest(900, 1100)).toBeCloseTo(8.5e-6, 6);
  });
});
