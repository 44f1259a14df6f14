import { describe, expect, test } from 'vitest';
import { indexPoints } from '../../../shared/geometry/point-index.ts';
import { numbers } from './shapes.ts';

/** All points by distance, then index. */
function sorted(xM: Float64Array, yM: Float64Array, x: number, y: number): number[] {
  const d2 = (i: number) => (xM[i]! - x) ** 2 + (yM[i]! - y) ** 2;
  return Array.from({ length: xM.length }, (_, i) => i).sort((a, b) => d2(a) - d2(b) || a - b);
}

describe('nearest points', () => {
  test('refusals', () => {
    expect(() => indexPoints(new Float64Array(2), new Float64Array(3))).toThrow(RangeError);
    expect(() => indexPoints(Float64Array.of(NaN), Float64Array.of(0))).toThrow(/point 0/);
    const one = indexPoints(Float64Array.of(1), Float64Array.of(1));
    expect(() => one.nearest(0, 0, 4, new Int32Array(2))).toThrow(RangeError);
    expect(() => one.nearest(NaN, 0, 1, new Int32Array(2))).toThrow(RangeError);
  });

  test('no point, one point, and fewer points than asked for', () => {
    const out = new Int32Array(8);
    expect(indexPoints(new Float64Array(0), new Float64Array(0)).nearest(0, 0, 3, out)).toBe(0);
    expect(indexPoints(Float64Array.of(5), Float64Array.of(6)).nearest(1e6, -1e6, 3, out)).toBe(1);
    expect(out[0]).toBe(0);
  });

  test.each([
    ['scattered', 2000, (draw: () => number) => [1000 * draw(), 700 * draw()]],
    ['in two far clusters', 600, (draw: () => number) => [draw() < 0.5 ? draw() : 1e5 + draw(), draw()]],
    ['on a line', 500, (draw: () => number) => [Math.floor(100 * draw()), 0]],
    ['on one place', 50, () => [3, 3]],
  ])('%s: the same as sorting all by distance, then index', (_, count, place) => {
    const draw = numbers(17);
    const places = Array.from({ length: count }, () => place(draw));
    const xM = Float64Array.from(places, ([x]) => x!);
    const yM = Float64Array.from(places, ([, y]) => y!);
    const index = indexPoints(xM, yM);
    const out = new Int32Array(40);
    for (let i = 0; i < 60; i++) {
      const x = i % 3 === 0 ? xM[i % count]! : 3000 * draw() - 1000;
      const y = i % 3 === 0 ? yM[i % count]! : 2000 * draw() - 500;
      const k = 1 + (i % 40);
      const found = index.nearest(x, y, k, out);
      expect([...out.subarray(0, found)]).toEqual(sorted(xM, yM, x, y).slice(0, k));
    }
  });

  test('points at equal distance come by index, whatever their order in the grid', () => {
    const side = 12;
    const xM = Float64Array.from({ length: side * side }, (_, i) => (i * 7) % side);
    const yM = Float64Array.from({ length: side * side }, (_, i) => Math.floor(i / side));
    const index = indexPoints(xM, yM);
    const out = new Int32Array(30);
    for (const [x, y] of [
      [5, 5],
      [5.5, 5.5],
      [0, 11],
    ] as const) {
      index.nearest(x, y, 30, out);
      expect([...out]).toEqual(sorted(xM, yM, x, y).slice(0, 30));
    }
  });

  test('within a radius: all points at or inside it, and no other', () => {
    const draw = numbers(23);
    const xM = Float64Array.from({ length: 3000 }, () => 500 * draw());
    const yM = Float64Array.from({ length: 3000 }, () => 300 * draw());
    const index = indexPoints(xM, yM);
    for (let round = 0; round < 30; round++) {
      const [x, y, radiusM] = [600 * draw() - 50, 400 * draw() - 50, 60 * draw()];
      const seen: number[] = [];
      index.within(x, y, radiusM, (i, d2) => {
        seen.push(i);
        expect(d2).toBeLessThanOrEqual(radiusM * radiusM);
      });
      const all = sorted(xM, yM, x, y).filter((i) => (xM[i]! - x) ** 2 + (yM[i]! - y) ** 2 <= radiusM * radiusM);
      expect(seen.sort((a, b) => a - b)).toEqual(all.sort((a, b) => a - b));
    }
  });
});
