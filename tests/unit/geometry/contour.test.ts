import { describe, expect, test } from 'vitest';
import { contourAtLevel } from '../../../shared/geometry/contour.ts';
import { checkPolygon, polygonAreaM2, polygonBounds } from '../../../shared/geometry/polygon.ts';
import { ringAreaM2, ringIsSelfCrossing } from '../../../shared/geometry/ring.ts';
import type { Grid } from '../../../shared/geometry/types.ts';
import { closeTo } from '../../support/close-to.ts';
import { numbers } from './shapes.ts';

function gridOf(columns: number, values: ArrayLike<number>, cellM = 10): Grid {
  return { x0M: 0, y0M: 0, columns, rows: values.length / columns, cellM, values: Float64Array.from(values) };
}

describe('the area at or above a level', () => {
  test('refuses a level that is none and a grid of another size', () => {
    expect(() => contourAtLevel(gridOf(1, [1]), NaN)).toThrow(RangeError);
    expect(() => contourAtLevel({ ...gridOf(1, [1]), rows: 2 }, 1)).toThrow(RangeError);
  });

  test('one cell is itself, or nothing', () => {
    const cell = contourAtLevel(gridOf(1, [1]), 0.5);
    expect(cell).toHaveLength(1);
    expect(cell[0]![0]).toHaveLength(8);
    expect([polygonAreaM2(cell), ...polygonBounds(cell)]).toEqual([100, 0, 0, 10, 10]);
    expect(contourAtLevel(gridOf(1, [0.4]), 0.5)).toEqual([]);
    expect(contourAtLevel(gridOf(1, [NaN]), 0.5)).toEqual([]);
  });

  test('a value equal to the level is inside', () => {
    expect(polygonAreaM2(contourAtLevel(gridOf(3, new Array(9).fill(0.5)), 0.5))).toBe(900);
  });

  test('the border between two cells lies where the line between them passes the level', () => {
    expect(polygonBounds(contourAtLevel(gridOf(2, [0, 1]), 0.25))).toEqual([7.5, 0, 20, 10]);
  });

  test('unknown cells end the area at their border, with square corners', () => {
    const area = contourAtLevel(gridOf(3, [1, 1, 1, 1, NaN, 1, 1, 1, 1]), 0.5);
    expect(area).toHaveLength(1);
    expect(area[0]!.map(ringAreaM2)).toEqual([900, -100]);
    expect(polygonAreaM2(contourAtLevel(gridOf(2, [1, NaN, NaN, 1]), 0.5))).toBe(200);
    expect(contourAtLevel(gridOf(2, [1, NaN, NaN, 1]), 0.5)).toHaveLength(2);
  });

  test('a low cell among high ones is a hole, a high one in the hole an island', () => {
    const values = new Array(49).fill(1);
    for (let row = 2; row <= 4; row++) for (let column = 2; column <= 4; column++) values[row * 7 + column] = 0;
    values[24] = 1;
    const area = contourAtLevel(gridOf(7, values), 0.5);
    expect(area.map((rings) => rings.length)).toEqual([2, 1]);
    expect(checkPolygon(area)).toEqual([]);
  });

  test('cells exactly at the level make no spikes and no doubled corners', () => {
    const area = contourAtLevel(gridOf(5, [0, 0, 0, 0, 0, 0, 1, 0.5, 0.5, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0]), 0.5);
    for (const ring of area.flat()) expect(ringIsSelfCrossing(ring)).toBeNull();
    expect(polygonAreaM2(area)).toBeGreaterThan(0);
  });

  test('grids full of values at the level, above, below and unknown give simple rings', () => {
    const draw = numbers(5);
    for (let round = 0; round < 500; round++) {
      const columns = 2 + Math.floor(draw() * 7);
      const rows = 2 + Math.floor(draw() * 7);
      const values = Array.from({ length: columns * rows }, () => [0, 0.5, 1, NaN, 0.25][Math.floor(draw() * 5)]!);
      for (const ring of contourAtLevel(gridOf(columns, values), 0.5).flat())
        expect(ringIsSelfCrossing(ring)).toBeNull();
    }
  });

  test('on random fields with unknown cells the rings are simple and areas above and below add up', () => {
    const draw = numbers(77);
    for (let round = 0; round < 60; round++) {
      const values = Array.from({ length: 15 * 11 }, () => {
        const value = draw();
        return value < 0.15 ? NaN : Math.round(10 * draw()) / 10;
      });
      const known = values.filter((value) => !Number.isNaN(value)).length;
      const grid = gridOf(15, values);
      const level = 0.44 + 0.1 * (round % 2); // no value and no mean of four is exactly at the level
      const above = contourAtLevel(grid, level);
      const below = contourAtLevel(
        gridOf(
          15,
          values.map((value) => -value),
        ),
        -level,
      );
      for (const rings of above) {
        rings.forEach((ring, i) => {
          expect(ringIsSelfCrossing(ring)).toBeNull();
          expect(Math.sign(ringAreaM2(ring))).toBe(i === 0 ? 1 : -1);
        });
      }
      closeTo(polygonAreaM2(above) + polygonAreaM2(below), 100 * known, {
        within: 1e-9 * 100 * known,
        because: 'what is not above is below, and saddles are joined one way',
      });
    }
  });

  test('turning and shifting the grid turns and shifts the area', () => {
    const draw = numbers(5);
    const side = 12;
    const values = Array.from({ length: side * side }, () => draw());
    const turned = values.map((_, i) => values[(i % side) * side + side - 1 - Math.floor(i / side)]!);
    const plain = contourAtLevel(gridOf(side, values), 0.6);
    closeTo(polygonAreaM2(contourAtLevel(gridOf(side, turned), 0.6)), polygonAreaM2(plain), {
      within: 1e-8,
      because: 'rounding of sums',
    });
    const shifted = contourAtLevel({ ...gridOf(side, values), x0M: 500, y0M: -300 }, 0.6);
    expect(polygonBounds(shifted)[0]).toBeCloseTo(polygonBounds(plain)[0] + 500, 9);
  });
});
