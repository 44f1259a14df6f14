import { describe, expect, test } from 'vitest';
import { lengthM, pointAlong, simplifyLine } from '../../../shared/geometry/polyline.ts';
import { closeTo } from '../../support/close-to.ts';
import { numbers } from './shapes.ts';

const bend = Float64Array.of(0, 0, 30, 0, 30, 40);

describe('lines', () => {
  test('refusals', () => {
    expect(() => pointAlong(new Float64Array(0), 1)).toThrow(RangeError);
    expect(() => simplifyLine(bend, -1)).toThrow(RangeError);
    expect(() => simplifyLine(bend, NaN)).toThrow(RangeError);
  });

  test('length and places along', () => {
    expect(lengthM(new Float64Array(0))).toBe(0);
    expect(lengthM(bend)).toBe(70);
    expect(pointAlong(bend, 0)).toEqual({ x: 0, y: 0, headingDeg: 90 });
    expect(pointAlong(bend, 50)).toEqual({ x: 30, y: 20, headingDeg: 0 });
    expect(pointAlong(bend, -5)).toMatchObject({ x: 0, y: 0 });
    expect(pointAlong(bend, 99)).toEqual({ x: 30, y: 40, headingDeg: 0 });
    expect(pointAlong(Float64Array.of(1, 2, 1, 2), 9)).toEqual({ x: 1, y: 2, headingDeg: 0 });
    expect(pointAlong(Float64Array.of(0, 0, -1, 0), 1).headingDeg).toBe(270);
  });

  test('simplifying keeps both ends and loses no point by more than the tolerance', () => {
    const draw = numbers(9);
    const line = Float64Array.from({ length: 1000 }, (_, i) => (i % 2 === 0 ? i : 20 * Math.sin(i / 60) + 2 * draw()));
    for (const toleranceM of [0, 0.5, 3, 50]) {
      const simple = simplifyLine(line, toleranceM);
      expect([simple[0], simple.at(-1)]).toEqual([line[0], line.at(-1)]);
      for (let i = 0; i < line.length; i += 2) {
        let nearest = Infinity;
        for (let k = 2; k < simple.length; k += 2) {
          const [ax, ay] = [simple[k - 2]!, simple[k - 1]!];
          const [dx, dy] = [simple[k]! - ax, simple[k + 1]! - ay];
          const t = Math.min(1, Math.max(0, ((line[i]! - ax) * dx + (line[i + 1]! - ay) * dy) / (dx * dx + dy * dy)));
          nearest = Math.min(nearest, Math.hypot(line[i]! - ax - t * dx, line[i + 1]! - ay - t * dy));
        }
        expect(nearest).toBeLessThanOrEqual(toleranceM + 1e-9);
      }
    }
    expect(simplifyLine(line, 50).length).toBe(4);
    expect(simplifyLine(line, 0).length).toBe(line.length);
  });

  test('simplifying twice changes nothing more, and scaling commutes with it', () => {
    const draw = numbers(4);
    const line = Float64Array.from({ length: 400 }, (_, i) => (i % 2 === 0 ? i : 10 * draw()));
    const once = simplifyLine(line, 2);
    expect(simplifyLine(once, 2)).toEqual(once);
    const scaled = simplifyLine(
      line.map((value) => value * 1024),
      2048,
    );
    closeTo(lengthM(scaled) / 1024, lengthM(once), { within: 1e-9, because: 'rounding of sums' });
  });
});
