import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { geodesicAreaM2, geodesicDistanceM, geodesicPerimeterM } from '../../../shared/geometry/geodesic.ts';
import type { MultiPolygon } from '../../../shared/geometry/types.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';

interface Cases {
  cases: { id: string; title: string; polygons: MultiPolygon; expected: { areaM2: number; perimeterM: number } }[];
  inverse: {
    id: string;
    input: { lat1: number; lon1: number; lat2: number; lon2: number };
    expected: { distanceM: number };
  }[];
}
const { cases, inverse } = JSON.parse(
  readFileSync(new URL('./cases.json', import.meta.url), 'utf8'),
) as unknown as Cases;

/** 2e-5 m² because the judge prints 1e-5 m²; 1e-9 of the area for sums of large parts. */
const areaToleranceM2 = (areaM2: number) => 2e-5 + 1e-9 * areaM2;

describe('areas and perimeters as GeographicLib gives them', () => {
  test.each(cases)('$id: $title', ({ polygons, expected }) => {
    closeTo(geodesicAreaM2(polygons), expected.areaM2, {
      within: areaToleranceM2(expected.areaM2),
      because: 'Planimeter prints 1e-5 m²',
    });
    closeTo(geodesicPerimeterM(polygons), expected.perimeterM, {
      within: 1e-7 + 1e-12 * expected.perimeterM,
      because: 'the geodesic inverse is good to 15 nm an edge',
    });
  });

  test('winding, start corner and shifts by a whole turn change no area', () => {
    for (const { polygons, expected } of cases) {
      const turned = polygons.map((rings) =>
        rings.map((ring) => {
          const open = ring.slice(0, -1).map(([lon, lat]) => [lon + 360, lat] as const);
          const moved = [...open.slice(1), open[0]!].reverse();
          return [...moved, moved[0]!];
        }),
      );
      closeTo(geodesicAreaM2(turned), expected.areaM2, {
        within: areaToleranceM2(expected.areaM2),
        because: 'Planimeter prints 1e-5 m²; adding 360 rounds a longitude to 6e-14°',
      });
    }
  });

  test('the largest difference is noted', () => {
    const fields = cases.filter(({ expected }) => expected.areaM2 < 3e6);
    expect(fields.length).toBeGreaterThan(10);
    const errors = fields.map(({ polygons, expected }) => ({
      errorM2: Math.abs(geodesicAreaM2(polygons) - expected.areaM2),
      toleranceM2: areaToleranceM2(expected.areaM2),
    }));
    const worst = errors.reduce((a, b) => (b.errorM2 > a.errorM2 ? b : a));
    const worstM = Math.max(
      ...cases.map(({ polygons, expected }) => Math.abs(geodesicPerimeterM(polygons) - expected.perimeterM)),
    );
    const { errorM2, toleranceM2 } = worst;
    recordAgreement('geodesic-area', 'areas of fields up to 300 ha against GeographicLib', errorM2, toleranceM2, 'm²');
    recordAgreement('geodesic-area', 'perimeters against GeographicLib', worstM, 1e-7, 'm');
    closeTo(errorM2, 0, { within: toleranceM2, because: 'the tolerance of the largest error’s own case' });
  });
});

describe('distances as GeographicLib gives them', () => {
  test.each(inverse)('$id', ({ input, expected }) => {
    closeTo(geodesicDistanceM([input.lon1, input.lat1], [input.lon2, input.lat2]), expected.distanceM, {
      within: 1e-7,
      because: 'the geodesic inverse is good to 15 nm',
    });
  });

  test('the largest difference is noted', () => {
    const worst = inverse.map(({ input, expected }) =>
      Math.abs(geodesicDistanceM([input.lon1, input.lat1], [input.lon2, input.lat2]) - expected.distanceM),
    );
    recordAgreement('geodesic-area', 'distances against GeographicLib', Math.max(...worst), 1e-7, 'm');
    expect(worst).toHaveLength(20);
  });
});
