import { describe, expect, it } from 'vitest';
import type { LonLat, MultiPolygon } from '../../../shared/geometry/types.ts';
import { neighborShape, planOf } from '../../../src/map/plan-view.ts';

const sheet = { widthPx: 400, heightPx: 300, paddingPx: 20 };

function box(west: number, south: number, east: number, north: number): MultiPolygon {
  const ring: LonLat[] = [
    [west, south],
    [east, south],
    [east, north],
    [west, north],
    [west, south],
  ];
  return [[ring]];
}

function cornersOf(path: string): number[][] {
  return path
    .split(/[MLZ]/)
    .filter(Boolean)
    .map((pair) => pair.split(' ').map(Number));
}

describe('fields on a sheet', () => {
  it('is empty without fields', () => {
    expect(planOf([], sheet).shapes).toEqual([]);
  });

  it('draws north up and a square on the ground as a square', () => {
    // At 60° a degree of longitude is half as long as one of latitude.
    const { shapes } = planOf([{ id: 'a', boundary: box(10, 60 - 0.005, 10.02, 60.005), exclusions: [] }], sheet);
    const corners = cornersOf(shapes[0]!.path);
    const [southWest, southEast, , northWest] = corners as [number[], number[], number[], number[]];
    expect(northWest[1]).toBeLessThan(southWest[1]!);
    const width = southEast[0]! - southWest[0]!;
    const height = southWest[1]! - northWest[1]!;
    expect(Math.abs(width / height - 1)).toBeLessThan(0.002);
    expect(height).toBeCloseTo(260, 0);
  });

  it('keeps every corner within the padding', () => {
    const fields = [box(-87.3, 40.1, -87.2, 40.11), box(-87.21, 40.12, -87.2, 40.14)].map((boundary, index) => ({
      id: String(index),
      boundary,
      exclusions: [],
    }));
    for (const shape of planOf(fields, sheet).shapes) {
      for (const [x, y] of cornersOf(shape.path)) {
        expect(x).toBeGreaterThanOrEqual(19.9);
        expect(x).toBeLessThanOrEqual(380.1);
        expect(y).toBeGreaterThanOrEqual(19.9);
        expect(y).toBeLessThanOrEqual(280.1);
      }
    }
  });

  it('labels an L inside its ground, not in its notch', () => {
    const ring: LonLat[] = [
      [0, 0],
      [0.03, 0],
      [0.03, 0.01],
      [0.01, 0.01],
      [0.01, 0.03],
      [0, 0.03],
      [0, 0],
    ];
    const { shapes, pxPerM } = planOf([{ id: 'l', boundary: [[ring]], exclusions: [] }], { ...sheet, widthPx: 300 });
    const perDegree = (Math.PI / 180) * 6371008.8 * pxPerM;
    const [x, y] = shapes[0]!.label;
    const [lon, lat] = [0.015 + (x - 150) / perDegree, 0.015 - (y - 150) / perDegree];
    expect(lon < 0.01 || lat < 0.01).toBe(true);
    expect(shapes[0]!.room[0]).toBeGreaterThan(0);
    expect(shapes[0]!.room[1]).toBeGreaterThan(0);
  });

  it('goes from field to field by direction, and nowhere beyond the last', () => {
    const { shapes } = planOf(
      [
        { id: 'west', boundary: box(0, 0, 0.01, 0.01), exclusions: [] },
        { id: 'east', boundary: box(0.011, 0, 0.02, 0.01), exclusions: [] },
        { id: 'north', boundary: box(0, 0.011, 0.01, 0.02), exclusions: [] },
      ],
      sheet,
    );
    expect(neighborShape(shapes, 'west', [1, 0])?.id).toBe('east');
    expect(neighborShape(shapes, 'west', [0, -1])?.id).toBe('north');
    expect(neighborShape(shapes, 'west', [-1, 0])).toBeNull();
    expect(neighborShape(shapes, 'north', [0, 1])?.id).toBe('west');
  });
});
