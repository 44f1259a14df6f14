import { describe, expect, it } from 'vitest';
import { convexHull, distanceToHullM } from '../../../shared/geometry/hull.ts';
import { stream } from '../../../shared/statistics/random.ts';
import { closeTo } from '../../support/close-to.ts';

describe('a convex hull', () => {
  it('of nothing, one place, one place twice and places on a line has 0, 1, 1 and 2 corners', () => {
    expect(Array.from(convexHull([], []))).toEqual([]);
    expect(Array.from(convexHull([3], [4]))).toEqual([3, 4]);
    expect(Array.from(convexHull([3, 3], [4, 4]))).toEqual([3, 4]);
    expect(Array.from(convexHull([0, 2, 1], [0, 2, 1]))).toEqual([0, 0, 2, 2]);
  });

  it('of a square with places on its edges and within is its four corners, counter-clockwise', () => {
    expect(Array.from(convexHull([1, 0, 2, 2, 0, 1, 1], [1, 0, 0, 2, 2, 0, 2]))).toEqual([0, 0, 2, 0, 2, 2, 0, 2]);
  });

  it('holds every place, whatever their order', () => {
    const random = stream(1, 'hull');
    const x = Array.from({ length: 200 }, () => random.normal());
    const y = Array.from({ length: 200 }, () => random.normal());
    const hull = convexHull(x, y);
    x.forEach((value, i) => expect(distanceToHullM(hull, value, y[i]!)).toBeLessThan(1e-12));
    expect(convexHull([...x].reverse(), [...y].reverse())).toEqual(hull);
  });
});

describe('the distance to a hull', () => {
  const square = convexHull([0, 10, 10, 0], [0, 0, 10, 10]);

  it('is 0 inside, straight out from an edge, and round about a corner', () => {
    expect(distanceToHullM(square, 5, 5)).toBe(0);
    expect(distanceToHullM(square, 5, -3)).toBe(3);
    closeTo(distanceToHullM(square, 13, 14), 5, { within: 1e-12, because: '3-4-5' });
  });

  it('to a place or a line is plain distance, to nothing endless', () => {
    expect(distanceToHullM(convexHull([1], [1]), 4, 5)).toBe(5);
    expect(distanceToHullM(convexHull([0, 10], [0, 0]), 5, 2)).toBe(2);
    expect(distanceToHullM(convexHull([], []), 0, 0)).toBe(Infinity);
  });
});
