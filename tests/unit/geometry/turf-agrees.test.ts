/** Plane geometry held against another library (@turf), on shapes drawn at random; both read metres as plain numbers. */
import booleanPointInPolygon from '@turf/boolean-point-in-polygon';
import kinks from '@turf/kinks';
import turfSimplify from '@turf/simplify';
import { describe, expect, test } from 'vitest';
import { indexPolygon } from '../../../shared/geometry/polygon-index.ts';
import { simplifyLine } from '../../../shared/geometry/polyline.ts';
import { ringIsSelfCrossing } from '../../../shared/geometry/ring.ts';
import type { FlatRing } from '../../../shared/geometry/types.ts';
import { bent, clockwise, numbers } from './shapes.ts';

type Position = [number, number];
const positions = (flat: Float64Array): Position[] =>
  Array.from({ length: flat.length / 2 }, (_, index) => [flat[2 * index]!, flat[2 * index + 1]!]);
const closed = (ring: FlatRing): Position[] => [...positions(ring), [ring[0]!, ring[1]!]];
const polygon = (...rings: FlatRing[]) => ({ type: 'Polygon' as const, coordinates: rings.map(closed) });

describe('as another library has it', () => {
  test('a place lies inside or outside of a field with a pond', () => {
    const random = numbers(11);
    const [outer, pond] = [bent(240, 300), clockwise(bent(60, 80, 40, 20))];
    const index = indexPolygon([[outer, pond]]);
    const shape = polygon(outer, pond);
    let inside = 0;
    for (let place = 0; place < 4000; place++) {
      const at: Position = [800 * random() - 400, 800 * random() - 400];
      const theirs = booleanPointInPolygon(at, shape);
      expect(index.contains(...at), at.join(', ')).toBe(theirs);
      if (theirs) inside++;
    }
    expect(inside).toBeGreaterThan(500);
    expect(inside).toBeLessThan(3500);
  });

  test('a path keeps the same corners', () => {
    const random = numbers(12);
    for (let repeat = 0; repeat < 40; repeat++) {
      const line = new Float64Array(240);
      for (let k = 0; k < 120; k++) {
        line[2 * k] = 5 * k;
        line[2 * k + 1] = 30 * Math.sin(k / 9) + 6 * random();
      }
      for (const toleranceM of [0.5, 3, 12]) {
        const theirs = turfSimplify(
          { type: 'LineString', coordinates: positions(line) },
          { tolerance: toleranceM, highQuality: true },
        );
        expect(positions(simplifyLine(line, toleranceM))).toEqual(theirs.coordinates);
      }
    }
  });

  test('a sketch crosses itself or does not', () => {
    const random = numbers(13);
    const seen = { crossing: 0, sound: 0 };
    for (let repeat = 0; repeat < 600; repeat++) {
      const corners = 4 + Math.floor(4 * random());
      const ring = Float64Array.from({ length: 2 * corners }, () => 200 * random());
      const crosses = kinks(polygon(ring)).features.length > 0;
      expect(ringIsSelfCrossing(ring) !== null, ring.join(' ')).toBe(crosses);
      seen[crosses ? 'crossing' : 'sound']++;
    }
    expect(Math.min(seen.crossing, seen.sound)).toBeGreaterThan(60);
  });
});
