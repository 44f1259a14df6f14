import { describe, expect, test } from 'vitest';
import {
  areaOf,
  beginSketch,
  canClose,
  closeSketch,
  cornersOf,
  edgesOf,
  insertCorner,
  isComplete,
  moveCorner,
  placeCorner,
  removeCorner,
  type Sketch,
} from '../../../../src/map/drawing/sketch.ts';
import type { LonLat, MultiPolygon } from '../../../../shared/geometry/types.ts';

const A: LonLat = [0, 0];
const B: LonLat = [1, 0];
const C: LonLat = [1, 1];
const D: LonLat = [0, 1];
const square: MultiPolygon = [[[A, B, C, D, A]]];
const hole: LonLat[] = [
  [0.2, 0.2],
  [0.2, 0.4],
  [0.4, 0.4],
  [0.2, 0.2],
];

const drawn = (...corners: LonLat[]): Sketch =>
  corners.reduce(placeCorner, beginSketch({ kind: 'area', prompt: '', start: null }));
const reshaping = (start: MultiPolygon) => beginSketch({ kind: 'area', prompt: '', start });

describe('an area that is drawn corner after corner', () => {
  test('is complete from three corners, and none before', () => {
    expect(isComplete(drawn(A, B))).toBe(false);
    expect(areaOf(drawn(A, B))).toBeNull();
    expect(canClose(drawn(A, B))).toBe(false);
    expect(areaOf(drawn(A, B, C))).toEqual([[[A, B, C, A]]]);
  });

  test('has no closing edge until it is closed', () => {
    expect(edgesOf(drawn(A, B, C))).toHaveLength(2);
    expect(edgesOf(closeSketch(drawn(A, B, C)))).toHaveLength(3);
  });

  test('loses its corners one by one while it is being placed', () => {
    const one = removeCorner(drawn(A, B), { ring: 0, corner: 1 })!;
    expect(removeCorner(one, { ring: 0, corner: 0 })!.rings[0]!.corners).toEqual([]);
  });
});

describe('an area that is reshaped', () => {
  test('comes back as it was given, corner for corner', () => {
    const two: MultiPolygon = [
      [[A, B, C, D, A], hole],
      [
        [
          [3, 3],
          [4, 3],
          [4, 4],
          [3, 3],
        ],
      ],
    ];
    expect(areaOf(reshaping(two))).toEqual(two);
  });

  test('moves one corner and takes a new one on an edge', () => {
    expect(areaOf(moveCorner(reshaping(square), { ring: 0, corner: 2 }, [2, 2]))).toEqual([[[A, B, [2, 2], D, A]]]);
    expect(areaOf(insertCorner(reshaping(square), { ring: 0, corner: 3 }, [0, 0.5]))).toEqual([
      [[A, B, C, D, [0, 0.5], A]],
    ]);
  });

  test('keeps three corners: a hole of fewer is gone, the last outline is not', () => {
    const holed = reshaping([[square[0]![0]!, hole]]);
    expect(areaOf(removeCorner(holed, { ring: 1, corner: 0 })!)).toEqual(square);
    const triangle = removeCorner(reshaping(square), { ring: 0, corner: 3 })!;
    expect(removeCorner(triangle, { ring: 0, corner: 0 })).toBeNull();
  });

  test('loses a part with its holes when its outline has too few corners', () => {
    const far: LonLat[] = [
      [5, 5],
      [9, 5],
      [9, 9],
      [5, 5],
    ];
    const two = reshaping([[far, hole], square[0]!]);
    expect(areaOf(removeCorner(two, { ring: 0, corner: 0 })!)).toEqual(square);
  });
});

test('a point is placed anew by each press, and a line goes on', () => {
  const point = placeCorner(placeCorner(beginSketch({ kind: 'point', prompt: '' }), A), B);
  expect(cornersOf(point)).toHaveLength(1);
  const line = [A, B, C].reduce(placeCorner, beginSketch({ kind: 'line', prompt: '' }));
  expect(edgesOf(line)).toHaveLength(2);
  expect(isComplete(line)).toBe(true);
});
