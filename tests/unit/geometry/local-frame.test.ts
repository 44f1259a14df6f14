import { describe, expect, test } from 'vitest';
import { geodesicDistanceM } from '../../../shared/geometry/geodesic.ts';
import { createFrame, frameOriginOf } from '../../../shared/geometry/local-frame.ts';
import { closeTo } from '../../support/close-to.ts';
import { numbers } from './shapes.ts';

describe('a field’s frame', () => {
  test('refuses an origin that is no place, and columns of unequal length', () => {
    expect(() => createFrame([0, 90])).toThrow(/inside ±89/);
    expect(() => createFrame([NaN, 42])).toThrow(RangeError);
    const two = new Float64Array(2);
    expect(() => createFrame([0, 42]).toLocalArrays(two, new Float64Array(3), two, two)).toThrow(/columns of 2/);
  });

  test('has its origin at 0, 0, x to the east and y to the north', () => {
    const frame = createFrame([-93.62, 42.03]);
    expect(frame.toLocal(-93.62, 42.03)).toEqual([0, 0]);
    expect(frame.toLocal(-93.61, 42.03)[0]).toBeGreaterThan(800);
    expect(frame.toLocal(-93.62, 42.04)[1]).toBeGreaterThan(1100);
  });

  test('gives a place back within a few nanometres, on any continent and across the antimeridian', () => {
    const draw = numbers(7);
    for (const origin of [
      [-93.62, 42.03],
      [-55.9, -13.1],
      [179.99, 65],
      [-180, -40],
      [0, 0],
    ] as const) {
      const frame = createFrame(origin);
      for (let i = 0; i < 200; i++) {
        const x = 20_000 * (draw() - 0.5);
        const y = 20_000 * (draw() - 0.5);
        const [lon, lat] = frame.toLonLat(x, y);
        expect(lon).toBeGreaterThanOrEqual(-180);
        expect(lon).toBeLessThan(180);
        const [backX, backY] = frame.toLocal(lon, lat);
        closeTo(Math.hypot(backX - x, backY - y), 0, { within: 1e-8, because: 'a degree has 14 decimals' });
      }
    }
  });

  test('keeps distances within a field to a few parts in 1e8', () => {
    const frame = createFrame([-93.62, 42.03]);
    const a = frame.toLonLat(-900, -1200);
    const b = frame.toLonLat(1100, 700);
    const flatM = Math.hypot(2000, 1900);
    closeTo(geodesicDistanceM(a, b), flatM, { within: 5e-8 * flatM, because: 'distance error at 2 km is 5e-8' });
  });

  test('turns whole columns as it turns single places', () => {
    const frame = createFrame([-93.62, 42.03]);
    const draw = numbers(3);
    const lon = Float64Array.from({ length: 500 }, () => -93.62 + 0.02 * (draw() - 0.5));
    const lat = Float64Array.from({ length: 500 }, () => 42.03 + 0.02 * (draw() - 0.5));
    const x = new Float64Array(500);
    const y = new Float64Array(500);
    frame.toLocalArrays(lon, lat, x, y);
    for (let i = 0; i < 500; i++) expect([x[i], y[i]]).toEqual(frame.toLocal(lon[i]!, lat[i]!));
  });

  test('moving the origin changes distances between near places by less than a micrometre', () => {
    const a = [-93.6201, 42.0302] as const;
    const b = [-93.6189, 42.0311] as const;
    const lengths = [createFrame([-93.62, 42.03]), createFrame([-93.615, 42.034])].map((frame) => {
      const [ax, ay] = frame.toLocal(...a);
      const [bx, by] = frame.toLocal(...b);
      return Math.hypot(ax - bx, ay - by);
    });
    closeTo(lengths[0]!, lengths[1]!, { within: 1e-5, because: 'scale differs by 1e-8 over half a kilometre' });
  });

  test('stands at the centre of the box, rounded to 1e-5°, also across the antimeridian', () => {
    expect(frameOriginOf([-93.63, 42.02, -93.612345, 42.041])).toEqual([-93.62117, 42.0305]);
    expect(frameOriginOf([179.5, 10, -179.1, 11])).toEqual([-179.8, 10.5]);
  });
});
