import { describe, expect, it } from 'vitest';
import {
  betaCdf,
  betaQuantile,
  gammaQuantile,
  incompleteGamma,
  lgamma,
  normalCdf,
  normalQuantile,
  studentTQuantile,
} from '../../../shared/statistics/special.ts';
import { closeTo } from '../../support/close-to.ts';

const rounding = { within: 1e-13, because: 'rounding' };

describe('special functions', () => {
  it('refuse what they are not made for', () => {
    expect(() => lgamma(0)).toThrow(/above 0/);
    expect(() => normalQuantile(1.1)).toThrow(/between 0 and 1/);
    expect(() => betaCdf(0.5, 0, 1)).toThrow(/above 0/);
    expect(() => incompleteGamma(1, -1)).toThrow(/not below 0/);
  });

  it('have log gamma step by the recurrence Γ(x+1) = xΓ(x)', () => {
    for (const x of [1e-8, 0.3, 1, 7.5, 14.9, 15, 200])
      closeTo(lgamma(x + 1) - lgamma(x), Math.log(x), { within: 1e-12, because: 'rounding at log gamma of 200' });
  });

  it('have a normal whose two tails mirror and whose quantile goes back', () => {
    for (const z of [0.1, 0.67, 0.7, 3, 5.6, 5.7, 8]) {
      closeTo(normalCdf(z) + normalCdf(-z), 1, rounding);
      closeTo(normalQuantile(normalCdf(-z)), -z, { within: 1e-12, because: 'rounding' });
    }
    expect([normalQuantile(0), normalQuantile(1), normalCdf(-50), normalCdf(50)]).toEqual([-Infinity, Infinity, 0, 1]);
  });

  it('have an incomplete gamma whose two parts fill 1, on both sides of its switch', () => {
    for (const [a, x] of [
      [0.5, 0.1],
      [0.5, 3],
      [10, 10.9],
      [10, 11.1],
      [300, 280],
      [300, 330],
    ] as const) {
      const { lower, upper } = incompleteGamma(a, x);
      closeTo(lower + upper, 1, rounding);
    }
    closeTo(incompleteGamma(1, 2).upper, Math.exp(-2), rounding);
    expect([incompleteGamma(2, 0).lower, incompleteGamma(2, Infinity).upper]).toEqual([0, 0]);
  });

  it('have a beta that mirrors, and the simplest closed forms', () => {
    for (const [x, a, b] of [
      [0.2, 3, 5],
      [0.9, 0.05, 101],
      [0.5, 40, 2],
    ] as const)
      closeTo(betaCdf(x, a, b) + betaCdf(1 - x, b, a), 1, rounding);
    closeTo(betaCdf(0.3, 1, 1), 0.3, rounding);
    closeTo(betaCdf(0.3, 2, 1), 0.09, rounding);
    expect([betaCdf(-1, 2, 2), betaCdf(2, 2, 2)]).toEqual([0, 1]);
  });

  it('have quantiles that go back to their share over many orders', () => {
    for (const p of [1e-9, 0.001, 0.3, 0.5, 0.97, 1 - 1e-9]) {
      for (const shape of [0.05, 1, 40]) {
        closeTo(incompleteGamma(shape, gammaQuantile(p, shape)).lower, p, {
          within: 1e-12,
          because: 'the slope of the distribution',
        });
      }
      for (const [a, b] of [
        [0.5, 30],
        [3, 3],
        [200, 4],
      ] as const) {
        closeTo(betaCdf(betaQuantile(p, a, b), a, b), p, {
          within: 1e-11,
          because: 'the last bit of a quantile near 1',
        });
      }
    }
    closeTo(studentTQuantile(0.2, 7), -studentTQuantile(0.8, 7), rounding);
    expect(studentTQuantile(0.5, 3)).toBe(0);
  });
});
