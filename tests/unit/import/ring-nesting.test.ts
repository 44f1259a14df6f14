import { describe, expect, it } from 'vitest';
import type { LonLat } from '../../../shared/geometry/types.ts';
import { nestRings } from '../../../shared/import/ring-nesting.ts';

/** A square about 0, 0; clockwise is an outer ring's way in a shapefile. */
const square = (half: number, clockwise: boolean, x = 0): LonLat[] => {
  const corners: LonLat[] = [
    [x - half, -half],
    [x - half, half],
    [x + half, half],
    [x + half, -half],
    [x - half, -half],
  ];
  return clockwise ? corners : corners.reverse();
};
const sizes = (polygons: LonLat[][][]) =>
  polygons.map((rings) => rings.map((ring) => Math.max(...ring.map(([, y]) => y))));

describe('nestRings', () => {
  it('of nothing is nothing', () => expect(nestRings([])).toEqual({ polygons: [], woundWrong: 0 }));

  it('takes rings by depth: outer, hole, island, hole in the island', () => {
    const rings = [square(4, true), square(3, false), square(2, true), square(1, false)];
    const nested = nestRings(rings);
    expect(sizes(nested.polygons)).toEqual([
      [4, 3],
      [2, 1],
    ]);
    expect(nested.woundWrong).toBe(0);
  });

  it('does the same whatever the order and the winding, and counts the wrong ones', () => {
    for (const order of [
      [0, 1, 2, 3],
      [3, 2, 1, 0],
      [2, 0, 3, 1],
    ]) {
      const nested = nestRings(order.map((i) => square(4 - i, true)));
      expect(sizes(nested.polygons).sort((a, b) => b[0]! - a[0]!)).toEqual([
        [4, 3],
        [2, 1],
      ]);
      expect(nested.woundWrong).toBe(2);
    }
  });

  it('rings beside each other are parts; a hole goes to the one around it', () => {
    expect(sizes(nestRings([square(2, true), square(3, true, 10), square(1, false, 10)]).polygons)).toEqual([
      [2],
      [3, 1],
    ]);
  });

  it('a hole that touches the edge in corners or along a side is a hole all the same', () => {
    const outer = square(2, true);
    const touching: LonLat[] = [
      [-2, -2],
      [2, -2],
      [0, 0],
      [-2, -2],
    ];
    expect(nestRings([outer, touching]).polygons.length).toBe(1);
  });

  it('two parts that share a side are two parts', () => {
    expect(nestRings([square(1, true), square(1, true, 2)]).polygons.length).toBe(2);
  });
});
