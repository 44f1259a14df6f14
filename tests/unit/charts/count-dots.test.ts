import { describe, expect, it } from 'vitest';
import { dotsOf } from '../../../src/charts/count-dots.ts';

describe('counts as dots', () => {
  it('one dot a place: zeros apart at the left, the rest in order of density, inside the picture', () => {
    const { dots, thresholdX, heightPx } = dotsOf([0, 3, 0, 1, 10, 3], 1, 500);
    expect(dots).toHaveLength(6);
    expect(dots.filter((one) => one.zero)).toHaveLength(2);
    const found = dots.filter((one) => !one.zero);
    expect(Math.max(...dots.filter((one) => one.zero).map((one) => one.x))).toBeLessThan(found[0]!.x);
    expect(found.map((one) => one.x)).toEqual([...found.map((one) => one.x)].sort((a, b) => a - b));
    expect(Math.max(...dots.map((one) => one.x))).toBeLessThan(500);
    expect(Math.max(...dots.map((one) => one.y))).toBeLessThan(heightPx);
    expect(thresholdX).toBeGreaterThan(0);
  });

  it('alike counts are stacked, and many places still fit', () => {
    const many = dotsOf(
      Array.from({ length: 300 }, () => 2),
      1,
      400,
    );
    expect(new Set(many.dots.map((one) => one.y)).size).toBe(300);
    expect(dotsOf([], 1, 400).dots).toEqual([]);
  });
});
