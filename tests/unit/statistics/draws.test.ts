import { describe, expect, test } from 'vitest';
import { lognormalQuantile, pertQuantile, triangularQuantile } from '../../../shared/statistics/draws.ts';
import { quantile, quantileOfSorted } from '../../../shared/statistics/quantile.ts';
import { tornado } from '../../../shared/statistics/tornado.ts';

describe('refuses', () => {
  test('a draw outside 0 to 1', () => {
    expect(() => triangularQuantile(1.01, 0, 1, 2)).toThrow(/1\.01/);
    expect(() => pertQuantile(-0.1, 0, 1, 2)).toThrow(/-0\.1/);
  });
  test('a range out of order', () => {
    expect(() => triangularQuantile(0.5, 2, 1, 3)).toThrow(/low ≤ mode/);
    expect(() => lognormalQuantile(0.5, 0, 3)).toThrow(/p05/);
  });
  test('a quantile of nothing', () => {
    expect(() => quantile([], 0.5)).toThrow(/at least one/);
    expect(() => quantileOfSorted([1], 1.5)).toThrow(/1\.5/);
  });
});

test('a range of no width is its value at every draw', () => {
  for (const u of [0, 0.3, 1]) {
    expect(triangularQuantile(u, 4, 4, 4)).toBe(4);
    expect(pertQuantile(u, 4, 4, 4)).toBe(4);
    expect(lognormalQuantile(u, 4, 4)).toBe(4);
  }
});

test('a mode at either end works, and draws rise with u inside the range', () => {
  for (const [low, mode, high] of [
    [0, 0, 1],
    [0, 1, 1],
    [2, 3, 7],
  ] as const) {
    for (const inverse of [triangularQuantile, pertQuantile]) {
      let before: number = low;
      for (let u = 0; u <= 1; u += 1 / 64) {
        const x = inverse(u, low, mode, high);
        expect(x).toBeGreaterThanOrEqual(before);
        expect(x).toBeLessThanOrEqual(high);
        before = x;
      }
      expect(inverse(0, low, mode, high)).toBe(low);
      expect(inverse(1, low, mode, high)).toBe(high);
    }
  }
});

test('a quantile of one number is that number, and an unknown makes it unknown', () => {
  expect(quantile([7], 0.9)).toBe(7);
  expect(quantile([1, NaN, 2], 0.5)).toBeNaN();
});

test('a tornado sorts by width and tells both ends even where both lie below the centre', () => {
  const { central, rows } = tornado({ a: 0, b: 1 }, { a: [-1, 2], b: [0, 3] }, ({ a, b }) => 10 * b - a * a);
  expect(central).toBe(10);
  expect(rows).toEqual([
    { parameter: 'b', low: 0, high: 30 },
    { parameter: 'a', low: 9, high: 6 },
  ]);
});
