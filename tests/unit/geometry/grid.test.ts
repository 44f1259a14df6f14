import { describe, expect, test } from 'vitest';
import {
  bilinear,
  cellAreasInside,
  cellCentre,
  cellIndexAt,
  gridOver,
  maskInside,
} from '../../../shared/geometry/grid.ts';
import { intersect } from '../../../shared/geometry/clip.ts';
import { polygonAreaM2 } from '../../../shared/geometry/polygon.ts';
import { indexPolygon } from '../../../shared/geometry/polygon-index.ts';
import type { FlatMultiPolygon, Grid } from '../../../shared/geometry/types.ts';
import { closeTo } from '../../support/close-to.ts';
import { bent, clockwise, numbers, rectangle } from './shapes.ts';

const field: FlatMultiPolygon = [[bent(181, 140, 3, -7), clockwise(bent(40, 45, 10, 0))], [bent(30, 12, 190, 90)]];
const grid = gridOver([-180, -190, 215, 175], 5);

describe('a grid over a field', () => {
  test('a cell of no size or no box is refused', () => {
    expect(() => gridOver([0, 0, 1, 1], 0)).toThrow(RangeError);
    expect(() => gridOver([Infinity, Infinity, -Infinity, -Infinity], 5)).toThrow(RangeError);
  });

  test('its origin lies on whole multiples of the cell and it covers the box', () => {
    expect(gridOver([-7, 3, 12.5, 19], 5)).toEqual({ x0M: -10, y0M: 0, columns: 5, rows: 4, cellM: 5 });
    expect(gridOver([0, 0, 0, 0], 5)).toMatchObject({ columns: 1, rows: 1 });
  });

  test('a cell’s centre lies in that cell, and nothing beyond the grid has a cell', () => {
    for (let index = 0; index < grid.columns * grid.rows; index += 7) {
      expect(cellIndexAt(grid, ...cellCentre(grid, index))).toBe(index);
    }
    expect(cellIndexAt(grid, grid.x0M, grid.y0M)).toBe(0);
    expect(cellIndexAt(grid, grid.x0M - 1e-9, 0)).toBe(-1);
    expect(cellIndexAt(grid, grid.x0M + grid.columns * 5, 0)).toBe(-1);
    expect(cellIndexAt(grid, NaN, 0)).toBe(-1);
  });

  test('the mask marks exactly the cells whose centre the polygon holds', () => {
    const index = indexPolygon(field);
    const mask = maskInside(grid, field);
    let marked = 0;
    mask.forEach((value, i) => {
      expect(value).toBe(index.contains(...cellCentre(grid, i)) ? 1 : 0);
      marked += value;
    });
    closeTo(marked * 25, polygonAreaM2(field), { within: 0.01 * polygonAreaM2(field), because: 'cells in or out' });
    expect(maskInside(grid, []).every((value) => value === 0)).toBe(true);
  });

  test('areas of cells add up to the polygon’s and each is the overlay’s', () => {
    const areas = cellAreasInside(grid, field);
    const sumM2 = areas.reduce((sum, value) => sum + value, 0);
    closeTo(sumM2, polygonAreaM2(field), { within: 1e-9 * sumM2, because: 'rounding of sums' });
    const draw = numbers(2);
    let partial = 0;
    for (let k = 0; k < 400; k++) {
      const index = Math.floor(draw() * areas.length);
      const [x, y] = cellCentre(grid, index);
      const cell = rectangle(x - 2.5, y - 2.5, x + 2.5, y + 2.5);
      closeTo(areas[index]!, polygonAreaM2(intersect(field, cell)), { within: 5e-5 * 45, because: 'the 0.1 mm grid' });
      if (areas[index]! > 0 && areas[index]! < 25) partial++;
    }
    expect(partial).toBeGreaterThan(10);
  });

  test('what lies beyond the grid on any side is left out of the cells’ areas', () => {
    const small = gridOver([-50, -60, 45, 55], 5);
    const areas = cellAreasInside(small, field);
    const box = rectangle(-50, -60, 45, 55);
    closeTo(
      areas.reduce((sum, value) => sum + value, 0),
      polygonAreaM2(intersect(field, box)),
      { within: 0.05, because: 'the 0.1 mm grid along 900 m' },
    );
    expect(Math.max(...areas)).toBeLessThanOrEqual(25);
  });

  test('cutting a field in two cuts the areas of cells in two', () => {
    const west = cellAreasInside(grid, intersect(field, rectangle(-300, -300, 1.7, 300)));
    const east = cellAreasInside(grid, intersect(field, rectangle(1.7, -300, 300, 300)));
    cellAreasInside(grid, field).forEach((areaM2, i) => {
      closeTo(west[i]! + east[i]!, areaM2, { within: 2e-3, because: 'both halves are on the 0.1 mm grid' });
    });
  });
});

describe('the value between cells', () => {
  const plane: Grid = {
    ...gridOver([0, 0, 20, 15], 5),
    values: Float64Array.from({ length: 12 }, (_, i) => 2 * (i % 4) + 10 * Math.floor(i / 4)),
  };

  test('is exact on a plane between centres and holds still beyond the outer ones', () => {
    closeTo(bilinear(plane, 2.5, 2.5), 0, { within: 1e-12, because: 'a centre' });
    closeTo(bilinear(plane, 10, 7.5), 3 + 10, { within: 1e-12, because: 'halfway' });
    closeTo(bilinear(plane, 0, 0), 0, { within: 1e-12, because: 'the corner cell’s own value' });
    closeTo(bilinear(plane, 20, 15), 26, { within: 1e-12, because: 'the corner cell’s own value' });
  });

  test('is unknown outside, and beside unknown cells only where they count', () => {
    expect(bilinear(plane, -0.1, 5)).toBeNaN();
    const values = plane.values.slice();
    values[5] = NaN;
    expect(bilinear({ ...plane, values }, 5, 5)).toBeNaN();
    expect(bilinear({ ...plane, values }, 2.5, 7.5)).toBe(10);
  });
});
