import { describe, expect, it } from 'vitest';
import { createFrame } from '../../../shared/geometry/local-frame.ts';
import type { LonLat, MultiPolygon } from '../../../shared/geometry/types.ts';
import { gridValueAt, onScreen } from '../../../src/map/on-screen.ts';
import { cornersOf, insideOf, surfacePixels } from '../../../src/map/surface-pixels.ts';
import { boundsOf, fieldAt, type FieldShape } from '../../../src/map/field-shapes.ts';
import type { MapGrid } from '../../../src/state/answers.ts';

const origin: LonLat = [-87.2, 40.12];
const frame = createFrame(origin);

function box(x0: number, y0: number, x1: number, y1: number): MultiPolygon {
  const ring = [
    [x0, y0],
    [x1, y0],
    [x1, y1],
    [x0, y1],
    [x0, y0],
  ].map(([x, y]): LonLat => frame.toLonLat(x!, y!));
  return [[ring]];
}

/** 4 × 4 cells of 5 m; the field is the middle four, one of them unknown. */
const field = box(5, 5, 15, 15);
const map: MapGrid = {
  origin,
  grid: { x0M: 0, y0M: 0, columns: 4, rows: 4, cellM: 5 },
  values: Float32Array.from({ length: 16 }, (_, cell) => ({ 5: 1, 6: 2, 9: 3 })[cell] ?? NaN),
};
const look = { color: () => '#102030', isFull: () => true, isShown: () => true };
const alphaAt = (pixels: Uint8ClampedArray, column: number, rowFromSouth: number) =>
  pixels[4 * ((3 - rowFromSouth) * 4 + column) + 3];

describe('a grid as pixels', () => {
  it('has north up, the color of the value, and nothing where it is unknown', () => {
    const inside = insideOf(map, field);
    expect([...inside].filter(Boolean)).toHaveLength(4);
    const pixels = surfacePixels(map, inside, look);
    expect(alphaAt(pixels, 1, 1)).toBe(255);
    expect(alphaAt(pixels, 2, 2)).toBe(0);
    expect([...pixels.slice(4 * (2 * 4 + 1), 4 * (2 * 4 + 1) + 3)]).toEqual([0x10, 0x20, 0x30]);
  });

  it('carries on beyond the border, so that the clipped drawing has no gap at its edge', () => {
    const pixels = surfacePixels(map, insideOf(map, field), look);
    expect(alphaAt(pixels, 0, 1)).toBe(255);
    expect(alphaAt(pixels, 3, 3)).toBe(0);
  });

  it('shows what was brushed in full, the rest faintly, and what is not reached yet not at all', () => {
    const pixels = surfacePixels(map, insideOf(map, field), {
      ...look,
      isFull: (value) => value > 1,
      isShown: (cell) => cell !== 9,
    });
    expect(alphaAt(pixels, 1, 1)).toBeLessThan(60);
    expect(alphaAt(pixels, 2, 1)).toBe(255);
    expect(alphaAt(pixels, 1, 2)).toBe(0);
  });

  it('has its corners where the grid has them', () => {
    const [northWest, , southEast] = cornersOf(map);
    expect(frame.toLocal(...northWest).map(Math.round)).toEqual([0, 20]);
    expect(frame.toLocal(...southEast).map(Math.round)).toEqual([20, 0]);
  });

  it('is read at a place: the value of the cell, null where unknown or outside', () => {
    expect(gridValueAt(map, frame.toLonLat(7, 7))).toBe(1);
    expect(gridValueAt(map, frame.toLonLat(12, 12))).toBeNull();
    expect(gridValueAt(map, frame.toLonLat(-50, 7))).toBeNull();
  });
});

describe('the values on screen', () => {
  const shape = (id: string, boundary: MultiPolygon): FieldShape => ({
    id,
    name: id,
    boundary,
    exclusions: [],
    bounds: boundsOf(boundary.flat(2)),
    label: origin,
    roomM: [10, 10],
  });
  const far = shape('far', box(500, 0, 520, 20));
  const near = shape('near', field);
  const readings = new Map([
    ['near', { value: 2, words: '', group: '' }],
    ['far', { value: null, words: '', group: '' }],
  ]);

  it('are one a field while no surface is drawn', () => {
    const all = boundsOf([...near.boundary.flat(2), ...far.boundary.flat(2)]);
    const seen = onScreen([near, far], readings, [], all, '', () => 100);
    expect(seen.weighedBy).toBe('field');
    expect(seen.values.map((one) => one.value)).toEqual([2, null]);
    expect(onScreen([near, far], readings, [], near.bounds, '', () => 100).values).toHaveLength(1);
  });

  it('are the cells in sight where a surface is drawn, weighed by their area, unknown ones too', () => {
    const surfaces = [{ shape: near, grid: map, group: '' }];
    const seen = onScreen([near], readings, surfaces, near.bounds, '', () => 100);
    expect(seen.weighedBy).toBe('area');
    expect(seen.values.map((one) => one.value).sort()).toEqual([1, 2, 3, null]);
    expect(seen.values.reduce((sum, one) => sum + one.weight, 0)).toBe(100);
    const west = boundsOf([frame.toLonLat(0, 0), frame.toLonLat(10, 20)]);
    expect(onScreen([near], readings, surfaces, west, '', () => 100).values).toHaveLength(2);
  });

  it('leave out fields of another group', () => {
    const corn = new Map([['near', { value: 2, words: '', group: 'corn' }]]);
    expect(onScreen([near], corn, [], near.bounds, 'soybean', () => 1).values).toEqual([]);
  });
});

describe('the field under a place', () => {
  it('is the one whose boundary holds it, and a hole is not the field', () => {
    const hole = box(8, 8, 12, 12)[0]![0]!;
    const shape: FieldShape = {
      id: 'a',
      name: 'a',
      boundary: [[field[0]![0]!, hole]],
      exclusions: [],
      bounds: boundsOf(field.flat(2)),
      label: origin,
      roomM: [1, 1],
    };
    expect(fieldAt([shape], frame.toLonLat(6, 6))?.id).toBe('a');
    expect(fieldAt([shape], frame.toLonLat(10, 10))).toBeNull();
    expect(fieldAt([shape], frame.toLonLat(30, 10))).toBeNull();
  });
});
