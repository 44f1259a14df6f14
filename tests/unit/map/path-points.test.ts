import { describe, expect, it } from 'vitest';
import { createFrame } from '../../../shared/geometry/local-frame.ts';
import { cutTimes } from '../../../src/map/cut-times.ts';
import { frameMercator } from '../../../src/map/frame-mercator.ts';
import { mercatorOf, mercatorPerM, pxPerMAt } from '../../../src/map/mercator.ts';
import { pickPoint } from '../../../src/map/path-picking.ts';
import {
  machineAt,
  pathPoints,
  pointAt,
  segmentsWithin,
  strideFor,
  TEXELS_A_ROW,
  WORDS_A_POINT,
} from '../../../src/map/path-points.ts';
import { drivenWay as path, origin } from '../../support/driven-way.ts';

describe('Mercator', () => {
  it('has the whole globe in the unit square: the equator in the middle, 85.0511° at its edge', () => {
    expect(mercatorOf([0, 0])).toEqual([0.5, 0.5]);
    // atan(sinh π) = 85.05112878° (the definition of the square).
    expect(mercatorOf([180, (Math.atan(Math.sinh(Math.PI)) * 180) / Math.PI])[1]).toBeCloseTo(0, 12);
  });

  it('a meter grows with the secant of the latitude', () => {
    expect(mercatorPerM(60) / mercatorPerM(0)).toBeCloseTo(2, 9);
    expect(pxPerMAt(1, 0) / pxPerMAt(0, 0)).toBe(2);
  });
});

describe('from a field’s metres to Mercator', () => {
  it('is within 2 mm of the exact way anywhere in a box of 3 km', () => {
    const quick = frameMercator(origin, [-1500, -1500, 1500, 1500]);
    const frame = createFrame(origin);
    const out = new Float32Array(2);
    let worstM = 0;
    for (let x = -1500; x <= 1500; x += 250) {
      for (let y = -1500; y <= 1500; y += 250) {
        quick.put(x, y, out, 0);
        const [exactX, exactY] = mercatorOf(frame.toLonLat(x, y));
        const offM =
          Math.hypot(out[0]! + quick.origin[0] - exactX, out[1]! + quick.origin[1] - exactY) / mercatorPerM(origin[1]);
        worstM = Math.max(worstM, offM);
      }
    }
    expect(worstM).toBeLessThan(2e-3);
  });
});

describe('the way of a combine as numbers', () => {
  it('keeps every point in order, breaks at a gap, ticks at each minute', () => {
    const made = pathPoints(path());
    expect(made.count).toBe(200);
    const column = <T>(words: ArrayLike<T>, k: number) =>
      Array.from({ length: made.count }, (_, i) => words[i * WORDS_A_POINT + k]!);
    expect(column(new Float32Array(made.points.buffer), 2)).toEqual(Array.from({ length: 200 }, (_, i) => i));
    const bits = column(made.points, 3);
    expect(bits.map((one) => one >>> 16).indexOf(1)).toBe(50);
    expect([...new Set(bits.map((one) => one & 0xffff))]).toEqual([1, 2]);
    expect(made.points.length % (TEXELS_A_ROW * WORDS_A_POINT)).toBe(0);
    expect(made.ticks.length / 5).toBe(3);
    expect(made.ticks[4]).toBe(60);
  });

  it('keeps apart what lies outside of passes, and stretches however many', () => {
    const one = path();
    const made = pathPoints({ ...one, pass: one.pass.map(() => -1), running: one.running.map(() => 0) });
    const bits = Array.from({ length: made.count }, (_, i) => made.points[i * WORDS_A_POINT + 3]!);
    expect(bits.every((each, i) => (each & 0xffff) === 0 && each >>> 16 === i)).toBe(true);
  });

  it('is thinned to no more than asked while the map moves', () => {
    for (const points of [1, 20_000, 20_001, 200_000, 390_000]) {
      const stride = strideFor(points, 20_000);
      expect(points / stride).toBeLessThanOrEqual(20_000);
      expect(points <= 20_000 ? stride : 2 * points).toBeGreaterThan(0);
      if (points > 20_000) expect(points / stride).toBeGreaterThan(10_000 - 1);
    }
  });

  it('is drawn only as far as a stretch of time reaches', () => {
    const made = pathPoints(path());
    expect(segmentsWithin(made, [-1, 1e9], 1)).toEqual([0, 199]);
    expect(segmentsWithin(made, [-1, 1e9], 16)).toEqual([0, 13]);
    expect(segmentsWithin(made, [-1, 40.5], 1)).toEqual([0, 41]);
    expect(segmentsWithin(made, [30.2, 40.5], 1)).toEqual([30, 41]);
    expect(segmentsWithin(made, [30.2, 40.5], 16)).toEqual([1, 3]);
    const [first, end] = segmentsWithin(made, [-20, -10], 1);
    expect(end - first).toBe(0);
  });

  it('tells where the machine is between two records, and before the first nowhere', () => {
    const made = pathPoints(path());
    expect(pointAt(made.path, -1)).toBe(-1);
    expect(pointAt(made.path, 0)).toBe(0);
    expect(pointAt(made.path, 41.9)).toBe(41);
    expect(pointAt(made.path, 1e6)).toBe(199);
    expect(machineAt(made, -5)).toBeNull();
    const [, y] = machineAt(made, 10.5)!;
    // The map's Mercator takes the globe for a sphere: 0.3 % north–south at this latitude.
    expect(y / (-21 * made.mercatorPerM)).toBeCloseTo(1, 2);
  });

  it('is picked by the nearest record within reach', () => {
    const frame = createFrame(origin);
    const one = path();
    expect(pickPoint(one, frame.toLonLat(1, 40.3), 5)).toBe(20);
    expect(pickPoint(one, frame.toLonLat(8, 40.3), 5)).toBe(199 - 20);
    expect(pickPoint(one, frame.toLonLat(40, 40), 5)).toBe(-1);
  });

  it('passes every cell under the bar, once, at the time it came by', () => {
    const grid = { x0M: -5, y0M: 0, columns: 2, rows: 38, cellM: 5 };
    const times = cutTimes(path(), grid);
    for (let row = 0; row < grid.rows; row++) {
      expect(times[row * 2]!).toBeGreaterThanOrEqual((row * 5) / 2 - 1);
      expect(times[row * 2]!).toBeLessThanOrEqual(((row + 1) * 5) / 2 + 1);
    }
    const beside = cutTimes(path(), { ...grid, x0M: 100 });
    expect(beside.every(Number.isNaN)).toBe(true);
  });
});
