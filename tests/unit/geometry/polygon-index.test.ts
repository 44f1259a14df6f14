import { describe, expect, test } from 'vitest';
import { indexPolygon } from '../../../shared/geometry/polygon-index.ts';
import type { FlatMultiPolygon } from '../../../shared/geometry/types.ts';
import { bent, clockwise, numbers, rectangle, ringOf } from './shapes.ts';

/** Plain even-odd over all rings, for comparison. */
function holds(polygon: FlatMultiPolygon, x: number, y: number): boolean {
  let inside = false;
  for (const ring of polygon.flat()) {
    for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2) {
      if (ring[i + 1]! > y === ring[j + 1]! > y) continue;
      if (x < ((ring[j]! - ring[i]!) * (y - ring[i + 1]!)) / (ring[j + 1]! - ring[i + 1]!) + ring[i]!) inside = !inside;
    }
  }
  return inside;
}

describe('a place in a polygon', () => {
  test('nothing lies in the empty area, in a ring of no height, or at no place', () => {
    expect(indexPolygon([]).contains(0, 0)).toBe(false);
    expect(indexPolygon([[ringOf(0, 0, 5, 0, 10, 0)]]).contains(5, 0)).toBe(false);
    expect(indexPolygon(rectangle(0, 0, 1, 1)).contains(NaN, 0.5)).toBe(false);
  });

  test('left and lower edges belong to it, right and upper ones do not', () => {
    const { contains } = indexPolygon(rectangle(0, 0, 10, 10));
    expect([contains(0, 5), contains(5, 0), contains(0, 0)]).toEqual([true, true, true]);
    expect([contains(10, 5), contains(5, 10), contains(10, 10)]).toEqual([false, false, false]);
  });

  test('agrees with the plain rule on bent polygons with holes and islands', () => {
    const polygon: FlatMultiPolygon = [
      [bent(360, 300), clockwise(bent(60, 120))],
      [bent(20, 40, 10, 5)],
      [bent(90, 60, 400, 100)],
    ];
    const index = indexPolygon(polygon);
    const draw = numbers(1);
    let inside = 0;
    for (let i = 0; i < 50_000; i++) {
      const x = 1000 * draw() - 450;
      const y = 800 * draw() - 400;
      expect(index.contains(x, y)).toBe(holds(polygon, x, y));
      if (index.contains(x, y)) inside++;
    }
    expect(inside).toBeGreaterThan(10_000);
  });

  test('neighbours that share a bent edge claim every place on it once', () => {
    const left = indexPolygon([[ringOf(0, 0, 5, 0, 7, 4, 4, 8, 0, 8)]]);
    const right = indexPolygon([[ringOf(5, 0, 12, 0, 12, 8, 4, 8, 7, 4)]]);
    for (let i = 0; i < 8000; i++) {
      const y = i / 1000;
      const x = y < 4 ? 5 + (y / 4) * 2 : 7 - ((y - 4) / 4) * 3;
      for (const at of [x, x - 1e-16, x + 1e-15]) {
        expect(Number(left.contains(at, y)) + Number(right.contains(at, y))).toBe(1);
      }
    }
  });

  test('a zigzag of long edges is no special case', () => {
    const corners: number[] = [];
    for (let i = 0; i < 400; i++) corners.push(i, i % 2 === 0 ? 0 : 1000);
    corners.push(400, -10, -1, -10);
    const polygon = [[Float64Array.from(corners)]];
    const index = indexPolygon(polygon);
    const draw = numbers(5);
    for (let i = 0; i < 2000; i++) {
      const x = 400 * draw();
      const y = 1000 * draw();
      expect(index.contains(x, y)).toBe(holds(polygon, x, y));
    }
  });
});
