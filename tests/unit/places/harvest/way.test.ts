import { describe, expect, it } from 'vitest';
import type { FieldMachineLoad } from '../../../../shared/analysis/steps/machine-load.ts';
import {
  aboardAt,
  fullestPoint,
  laidDownSince,
  passBeside,
  passesOf,
  pointAt,
  speedAt,
} from '../../../../src/places/harvest/way.ts';
import type { ShownPath } from '../../../../src/state/answers.ts';

const timeS = Float64Array.of(100, 101, 102, 200, 201);
const path = {
  timeS,
  xM: Float32Array.of(0, 2, 4, 4, 4),
  yM: Float32Array.of(0, 0, 0, 0, 1.5),
  running: Uint8Array.of(1, 1, 0, 1, 0),
} as unknown as ShownPath;
const load: FieldMachineLoad = {
  heldSeeds: {
    grain: Float32Array.of(0, 1, 2, 2, 0),
    chaff: Float32Array.of(0, 10, 20, 20, 5),
    straw: Float32Array.of(0, 3, 4, 4, 1),
    lodged: Float32Array.of(1, 2, 3, 3, 3),
  },
  depositSeeds: Float32Array.of(5, 7, 0, 30, 2),
  headerSeeds: new Float32Array(5),
  carriedInSeeds: 1,
  leftInMachineSeeds: 3,
};

describe('the way at a moment', () => {
  it('finds the last point at or before it', () => {
    expect([0, 100, 101.9, 150, 200, 9e9].map((at) => pointAt(timeS, at))).toEqual([0, 0, 1, 2, 3, 4]);
    expect(pointAt(new Float64Array(0), 5)).toBe(0);
  });

  it('tells the speed, none over a pause of the log', () => {
    expect([0, 1, 2, 3, 4].map((at) => speedAt(path, at))).toEqual([2, 2, null, 1.5, 1.5]);
  });

  it('adds what the streams hold, and finds where it was most', () => {
    expect(aboardAt(load, 1)).toBe(16);
    expect(fullestPoint(load)).toBe(2);
  });

  it('adds what fell in the seconds before, and nothing from before a pause', () => {
    expect(laidDownSince(load, timeS, 2, 60)).toBe(12);
    expect(laidDownSince(load, timeS, 2, 1)).toBe(7);
    expect(laidDownSince(load, timeS, 4, 60)).toBe(30);
    expect(laidDownSince(load, timeS, 0, 60)).toBe(0);
  });
});

describe('passes', () => {
  it('are told from first to last point, the ground between them left out', () => {
    expect(passesOf(Int32Array.of(-1, 0, 0, -1, 1, 1, 2))).toEqual([
      { id: 0, from: 1, to: 2 },
      { id: 1, from: 4, to: 5 },
      { id: 2, from: 6, to: 6 },
    ]);
  });

  it('are walked forward and back, with nothing beyond the ends', () => {
    expect(passBeside([0, 10, 20], 10, true)).toBe(20);
    expect(passBeside([0, 10, 20], 10, false)).toBe(0);
    expect(passBeside([0, 10, 20], 20, true)).toBeNull();
    expect(passBeside([0, 10, 20], 0, false)).toBeNull();
  });
});
