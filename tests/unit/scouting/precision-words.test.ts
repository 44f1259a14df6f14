import { describe, expect, test } from 'vitest';
import { ASSUMED_K, countSpread } from '../../../shared/scouting/count-spread.ts';
import { precisionInWords } from '../../../shared/scouting/precision-words.ts';
import { fitNegativeBinomial } from '../../../shared/statistics/dispersion.ts';

const placesOf = (counts: readonly number[], effortM2 = 2) =>
  counts.map((count, i) => ({ xM: 30 * i, yM: 0, effortM2, count }));
const CLUMPED = [0, 0, 9, 1, 0, 4, 0, 22, 0, 3];

describe('what a wanted precision hangs on', () => {
  test('is the mean of a stop and the k fitted to the same counts', () => {
    const spread = countSpread(placesOf(CLUMPED))!;
    expect(spread.meanCount).toBeCloseTo(3.9, 12);
    expect(spread.k).toBeCloseTo(
      fitNegativeBinomial(
        CLUMPED,
        CLUMPED.map(() => 2),
      )!.k,
      12,
    );
    expect([spread.kFrom, spread.stops, spread.effortM2]).toEqual(['fit', 10, 2]);
  });

  test('is an assumed k, said as such, where too few stops had plants', () => {
    const spread = countSpread(placesOf([0, 3, 0, 0]))!;
    expect([spread.k, spread.kFrom]).toEqual([ASSUMED_K, 'assumed']);
    expect(precisionInWords({ spread, places: 4 }, 0.25, 'us').working[2]).toMatch(/assumed .* only 1 quadrat/);
    expect(countSpread(placesOf([3]))!.kFrom).toBe('assumed');
  });

  test('is chance alone where counts vary no more than that', () => {
    const spread = countSpread(placesOf([2, 1, 3, 2, 2, 1, 2, 3]))!;
    expect([spread.k, spread.kFrom]).toEqual([null, 'chance']);
    // 1/m over D² with m = 2: 8 stops.
    expect(precisionInWords({ spread, places: 8 }, 0.25, 'us').finding).toContain('takes 8');
  });

  test('leaves out places that were only marked present, and is nothing where no plant was counted', () => {
    const seen = { xM: 5, yM: 5, effortM2: 100, count: 1, presenceOnly: true };
    expect(countSpread([...placesOf(CLUMPED), seen])).toEqual(countSpread(placesOf(CLUMPED)));
    expect(countSpread([seen])).toBeNull();
    expect(countSpread(placesOf([0, 0]))).toBeNull();
  });
});

describe('stops for a precision, in words', () => {
  test('name the number of stops, what the counts so far give, and the formula with its numbers', () => {
    // By hand: (1/2 + 1/0.5)/0.25² = 40; 10 stops give √(2.5/10) = 50 %.
    const spread = { stops: 10, effortM2: 1, meanCount: 2, k: 0.5, kFrom: 'fit', because: null } as const;
    const told = precisionInWords({ spread, places: 10 }, 0.25, 'metric');
    expect(told.finding).toBe(
      '40 stops would tell the field’s mean to give or take 25%; the 10 counted stops so far tell it to give or take 50%',
    );
    expect(told.working[0]).toBe('n = (1/m + 1/k) / D² = (1/2 + 1/0.5) / 0.25² = 40, rounded up to 40.');
    expect(precisionInWords({ spread, places: 10 }, 0.5, 'metric').finding).toBe(
      'The field’s mean is known to give or take 50% from 10 stops: give or take 50% takes 10',
    );
  });

  test('of a clean round are the stops that bound the share of places with the weed', () => {
    const told = precisionInWords({ spread: null, places: 24 }, 0.25, 'us');
    expect(told.finding).toContain('No plant at 24 places');
    // 1 − 0.05^(1/24) = 11.7 %; 59 clean stops for 5 % (tests/reference/statistics, detection).
    expect(told.working[0]).toMatch(/59 clean stops .* fewer than 5\.0%.*24 make it 12%/);
    expect(precisionInWords({ spread: null, places: 0 }, 0.25, 'us').finding).toContain('none is on record');
  });
});
