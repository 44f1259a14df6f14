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

  it('alike counts are stacked, and many places still fit: a dot then stands for several', () => {
    const some = dotsOf([2, 2, 2, 2], 1, 400);
    expect(some.placesADot).toBe(1);
    expect(new Set(some.dots.map((one) => one.y)).size).toBe(4);
    const many = dotsOf(
      Array.from({ length: 300 }, () => 2),
      1,
      400,
    );
    expect(many.heightPx).toBeLessThanOrEqual(132);
    expect(many.dots.length).toBe(Math.ceil(300 / many.placesADot));
    expect(dotsOf([], 1, 400).dots).toEqual([]);
  });

  it('fifty thousand places stay a picture of one height: a dot stands for several', () => {
    const densities = Array.from({ length: 50_000 }, (_, n) => (n % 3 === 0 ? 0 : (n % 400) / 10));
    const { dots, heightPx, placesADot } = dotsOf(densities, 1, 340);
    expect(placesADot).toBeGreaterThan(1);
    expect(heightPx).toBeLessThanOrEqual(132);
    expect(dots.length * placesADot).toBeGreaterThanOrEqual(50_000);
    expect(dots.length).toBeLessThan(10_000);
  });
});
