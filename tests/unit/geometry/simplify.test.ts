import { describe, expect, test } from 'vitest';
import { checkPolygon, polygonAreaM2 } from '../../../shared/geometry/polygon.ts';
import { simplifyKeepingArea, simplifyRing } from '../../../shared/geometry/simplify.ts';
import type { FlatMultiPolygon } from '../../../shared/geometry/types.ts';
import { closeTo } from '../../support/close-to.ts';
import { bent, clockwise, rectangle, ringOf } from './shapes.ts';

describe('simplifying and keeping the area', () => {
  test('the empty area, a square and no tolerance stay as they are', () => {
    expect(simplifyKeepingArea([], 5)).toEqual({ polygon: [], areaBeforeM2: 0, areaAfterM2: 0, toleranceUsedM: 0 });
    const square = rectangle(0, 0, 10, 10);
    expect(polygonAreaM2(simplifyKeepingArea(square, 2).polygon)).toBe(100);
    expect(simplifyKeepingArea(square, 0)).toMatchObject({ polygon: square, toleranceUsedM: 0 });
  });

  test('a ring that would lose its area stays', () => {
    const small = ringOf(0, 0, 2, 0, 2, 2, 0, 2);
    expect(simplifyRing(small, 50)).toBe(small);
  });

  test('a zone with a hole loses corners but no area', () => {
    const zone: FlatMultiPolygon = [[bent(900, 200), clockwise(bent(300, 60))], [bent(200, 30, 400, 0)]];
    for (const toleranceM of [0.5, 3, 10]) {
      const { polygon, areaBeforeM2, areaAfterM2, toleranceUsedM } = simplifyKeepingArea(zone, toleranceM);
      expect(toleranceUsedM).toBeGreaterThan(0);
      expect(polygon.flat().reduce((sum, ring) => sum + ring.length, 0)).toBeLessThan(1000);
      closeTo(areaAfterM2, areaBeforeM2, { within: 5e-5 * areaBeforeM2, because: 'restored by ΔA over the perimeter' });
      closeTo(polygonAreaM2(polygon), areaAfterM2, { within: 1e-9, because: 'the area told is the area given' });
      expect(checkPolygon(polygon)).toEqual([]);
    }
  });

  test('where rings would cross, the tolerance is halved until they do not', () => {
    // A thin arch close about a hole: at 10 m the outer ring would cut through the hole.
    const inner = bent(400, 96, 0, 0, 3, 0);
    const started = Float64Array.from([...inner.subarray(50), ...inner.subarray(0, 50)]);
    const zone: FlatMultiPolygon = [[bent(400, 100, 0, 0, 3, 0), clockwise(started)]];
    const { polygon, toleranceUsedM, areaAfterM2, areaBeforeM2 } = simplifyKeepingArea(zone, 20);
    expect(toleranceUsedM).toBeLessThan(20);
    expect(checkPolygon(polygon)).toEqual([]);
    closeTo(areaAfterM2, areaBeforeM2, { within: 0.005 * areaBeforeM2, because: 'the rule' });
  });
});
