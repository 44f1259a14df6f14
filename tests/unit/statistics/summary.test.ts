import { describe, expect, it } from 'vitest';
import { summarise } from '../../../shared/statistics/summary.ts';
import { closeTo } from '../../support/close-to.ts';

describe('a weighted summary', () => {
  it('refuses no numbers, odd lengths and weights below 0', () => {
    expect(() => summarise([])).toThrow(/at least one/);
    expect(() => summarise([1, 2], [0, 0])).toThrow(/at least one/);
    expect(() => summarise([1, 2], [1])).toThrow(/1 weights for 2/);
    expect(() => summarise([1, 2], [1, -1])).toThrow(/weight 1 is -1/);
  });

  it('of one number has its mean and no variance', () => {
    expect(summarise([4])).toEqual({ mean: 4, variance: NaN, varianceOfAll: 0, effectiveCount: 1 });
  });

  it('with equal weights is the plain one, whatever the weights sum to', () => {
    const plain = summarise([1, 2, 4, 9]);
    const scaled = summarise([1, 2, 4, 9], [5, 5, 5, 5]);
    expect(plain.variance).toBeCloseTo(38 / 3, 12);
    for (const key of ['mean', 'variance', 'varianceOfAll', 'effectiveCount'] as const)
      closeTo(scaled[key], plain[key], { within: 1e-12, because: 'rounding' });
  });

  it('does not change when a number without weight is added', () => {
    expect(summarise([1, 2, 1e6], [1, 3, 0])).toEqual(summarise([1, 2], [1, 3]));
  });
});
