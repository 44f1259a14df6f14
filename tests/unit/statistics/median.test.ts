import { describe, expect, it } from 'vitest';
import { quantile } from '../../../shared/statistics/quantile.ts';
import { medianOf, medianOfFirst } from '../../../shared/statistics/median.ts';
import { stream } from '../../../shared/statistics/random.ts';

describe('a median', () => {
  it('is that of the sorted numbers, of few and of many, with or without ties', () => {
    const random = stream(7, 'median');
    for (const count of [1, 2, 3, 10, 45, 256, 257, 5000]) {
      for (const steps of [2, 7, 1e9]) {
        const values = Float64Array.from({ length: count }, () => Math.floor(steps * random.uniform()) / steps);
        expect(medianOf(values.slice())).toBeCloseTo(quantile(values, 0.5), 12);
      }
    }
  });

  it('is of the finite values only', () => {
    expect(medianOf(Float64Array.of(NaN, 3, Infinity, 1, -Infinity, 2))).toBe(2);
    expect(medianOf(Float64Array.of(NaN, Infinity))).toBeNaN();
  });

  it('of the first so many leaves the others alone', () => {
    const values = Float64Array.of(5, 1, 3, 100, 200);
    expect(medianOfFirst(values, 3)).toBe(3);
    expect([...values.subarray(3)]).toEqual([100, 200]);
  });
});
