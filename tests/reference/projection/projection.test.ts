import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { geodesicAreaM2, geodesicDistanceM } from '../../../shared/geometry/geodesic.ts';
import { createFrame } from '../../../shared/geometry/local-frame.ts';
import {
  projectionFromEpsg,
  projectionFromProj,
  type Projection,
  type ProjectionResult,
} from '../../../shared/geometry/projection.ts';
import { ringAreaM2 } from '../../../shared/geometry/ring.ts';
import type { LonLat } from '../../../shared/geometry/types.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';

type Points = [number, number][];
interface Cases {
  formula: {
    id: string;
    epsg: string | null;
    pipeline: string;
    input: { lonLat: Points };
    expected: { eastNorth: Points };
  }[];
  datum: {
    id: string;
    target: string;
    input: { lonLat: Points };
    expected: { eastNorth: Points };
    operation: string;
    accuracyM: number;
  }[];
  frameErrors: {
    latDeg: number;
    halfSideM: number;
    areaM2: number;
    frames: Record<string, { areaRelativeError: number; worstScaleErrorAtCorner: number }>;
  }[];
}
const { formula, datum, frameErrors } = JSON.parse(
  readFileSync(new URL('./cases.json', import.meta.url), 'utf8'),
) as unknown as Cases;

const US_FOOT_M = 1200 / 3937;

function opened(result: ProjectionResult): Projection {
  if (!result.ok) throw new Error(result.why);
  return result;
}

/** The judge's notation in the library's: it has no webmerc, and names a sphere by its two axes. */
function inLibraryNotation(pipeline: string): string {
  return pipeline
    .replace('+proj=webmerc +ellps=WGS84', '+proj=merc +a=6378137 +b=6378137 +lat_ts=0 +lon_0=0 +x_0=0 +y_0=0 +k=1')
    .replace(/\+R=(\S+)/, '+a=$1 +b=$1');
}

const degreesApart = (a: LonLat, b: LonLat) => Math.hypot(((a[0] - b[0] + 540) % 360) - 180, a[1] - b[1]);

describe('projection formulas as PROJ gives them, without a datum step', () => {
  let worstM = 0;
  let worstBackM = 0;
  test.each(formula)('$id', ({ pipeline, input, expected }) => {
    const projection = opened(projectionFromProj(inLibraryNotation(pipeline)));
    const unitM = pipeline.includes('us-ft') ? US_FOOT_M : 1;
    input.lonLat.forEach(([lon, lat], i) => {
      const [east, north] = expected.eastNorth[i]!;
      const [x, y] = projection.fromLonLat(lon, lat);
      const errorM = Math.hypot(x - east, y - north) * unitM;
      closeTo(errorM, 0, { within: 1e-6, because: 'formulas good to 5 nm, coordinates of seven digits' });
      const backM = degreesApart(projection.toLonLat(east, north), [lon, lat]) * 111_320;
      closeTo(backM, 0, { within: 1e-6, because: 'there and back' });
      worstM = Math.max(worstM, errorM);
      worstBackM = Math.max(worstBackM, backM);
    });
  });

  test('the largest difference is noted', () => {
    recordAgreement('projection', 'projection formulas against PROJ', worstM, 1e-6, 'm');
    recordAgreement('projection', 'projections there and back', worstBackM, 1e-6, 'm');
    expect(worstM).toBeGreaterThan(0);
  });
});

describe('systems by EPSG code as PROJ gives them', () => {
  // Where PROJ takes the same step (null shift, or the seven parameters of Amersfoort) the formulas' tolerance holds.
  let worstM = 0;
  test.each(datum)('$id: $operation', ({ target, input, expected }) => {
    const projection = opened(projectionFromEpsg(Number(target.replace('EPSG:', ''))));
    const unitM = projection.describe.includes('US survey feet') ? US_FOOT_M : 1;
    input.lonLat.forEach(([lon, lat], i) => {
      const [east, north] = expected.eastNorth[i]!;
      const [x, y] = projection.fromLonLat(lon, lat);
      const errorM = Math.hypot(x - east, y - north) * unitM;
      closeTo(errorM, 0, { within: 1e-6, because: 'the same operation is implemented' });
      worstM = Math.max(worstM, errorM);
      const backM = degreesApart(projection.toLonLat(east, north), [lon, lat]) * 111_320;
      closeTo(backM, 0, { within: 1e-6, because: 'there and back' });
    });
  });

  test('every null step between NAD 83 and WGS 84 is told', () => {
    for (const { target, operation } of datum) {
      const { notes } = opened(projectionFromEpsg(Number(target.replace('EPSG:', ''))));
      expect(
        notes.some((note) => note.includes('up to 2 m')),
        target,
      ).toBe(operation.includes('NAD83 to WGS 84'));
    }
  });

  test('the largest difference is noted', () => {
    recordAgreement('projection', 'EPSG systems against PROJ', worstM, 1e-6, 'm');
    expect(worstM).toBeGreaterThan(0);
  });
});

describe('the field’s own frame', () => {
  test('it is the transverse Mercator that PROJ gives, there and back', () => {
    const { input, expected } = formula.find(({ id }) => id === 'tmerc-local')!;
    const frame = createFrame([-93.62, 42.03]);
    let worstM = 0;
    input.lonLat.forEach(([lon, lat], i) => {
      const [east, north] = expected.eastNorth[i]!;
      const [x, y] = frame.toLocal(lon, lat);
      worstM = Math.max(worstM, Math.hypot(x - east, y - north));
      const back = degreesApart(frame.toLonLat(east, north), [lon, lat]) * 111_320;
      closeTo(back, 0, { within: 1e-8, because: 'there and back within the last digits of a degree' });
    });
    closeTo(worstM, 0, { within: 1e-6, because: 'the case’s own tolerance' });
    recordAgreement('projection', 'local frame against PROJ', worstM, 1e-6, 'm');
  });

  test('UTM zones follow from it by scale and false easting', () => {
    for (const { id, pipeline, input, expected } of formula) {
      const zone = /\+proj=utm \+zone=(\d+)/.exec(pipeline);
      if (zone === null || pipeline.includes('GRS80')) continue;
      const frame = createFrame([6 * Number(zone[1]) - 183, 0]);
      input.lonLat.forEach(([lon, lat], i) => {
        const [x, y] = frame.toLocal(lon, lat);
        const [east, north] = expected.eastNorth[i]!;
        closeTo(0.9996 * x + 500_000, east, { within: 1e-6, because: `${id}: the case’s own tolerance` });
        closeTo(0.9996 * y + (pipeline.includes('south') ? 1e7 : 0), north, { within: 1e-6, because: id });
      });
    }
  });

  test('its errors of area and distance are the ones that PROJ’s transverse Mercator has', () => {
    expect(frameErrors).toHaveLength(18);
    let worst = 0;
    for (const { latDeg, halfSideM, areaM2, frames } of frameErrors) {
      const frame = createFrame([-93.62, latDeg]);
      const corners = squareAbout([-93.62, latDeg], halfSideM);
      closeTo(geodesicAreaM2([[[...corners, corners[0]!]]]), areaM2, {
        within: 2e-5 + 1e-9 * areaM2,
        because: 'the square is the case’s own',
      });
      // The maker cuts each geodesic edge into 64 chords before it projects them.
      const ring = densified(corners, 64).flatMap(([lon, lat]) => frame.toLocal(lon, lat));
      const relative = ringAreaM2(Float64Array.from(ring)) / areaM2 - 1;
      const expected = frames['tmerc']!.areaRelativeError;
      closeTo(relative, expected, {
        within: 5e-10 + 0.02 * Math.abs(expected),
        because: 'our points on the edges come from another frame; the area of the square is good to 1e-10',
      });
      worst = Math.max(worst, Math.abs(relative - expected));
      // A hundred metres at the north-east corner.
      const [x, y] = frame.toLocal(...corners[2]!);
      const scaleError = frames['tmerc']!.worstScaleErrorAtCorner;
      for (const [dx, dy] of [
        [100, 0],
        [0, 100],
      ] as const) {
        const away = frame.toLonLat(x + dx, y + dy);
        closeTo(Math.abs(100 / geodesicDistanceM(corners[2]!, away) - 1), scaleError, {
          within: 5e-9 + 0.05 * scaleError,
          because: 'the maker takes the worst of four headings over 100 m',
        });
      }
    }
    recordAgreement('projection', 'frame’s area error (0.5–25 km) against PROJ’s', worst, 1e-8, 'of the area');
  });
});

/** Corners of the maker's square: half the diagonal along azimuths 225, 135, 45 and 315, by a fine frame of their own. */
function squareAbout(centre: LonLat, halfSideM: number): LonLat[] {
  return [225, 135, 45, 315].map((azimuthDeg) => geodesicDirect(centre, azimuthDeg, Math.hypot(halfSideM, halfSideM)));
}

/** A place by azimuth and distance: short straight steps of a frame carried along; a step of d errs by d³, so 400 do. */
function geodesicDirect(from: LonLat, azimuthDeg: number, distanceM: number): LonLat {
  const steps = 400;
  let at = from;
  let heading = (azimuthDeg * Math.PI) / 180;
  for (let step = 0; step < steps; step++) {
    const frame = createFrame(at);
    const d = distanceM / steps;
    const next = frame.toLonLat(d * Math.sin(heading), d * Math.cos(heading));
    // The way on: away from where we came, seen from the new place.
    const [bx, by] = createFrame(next).toLocal(at[0], at[1]);
    heading = Math.atan2(-bx, -by);
    at = next;
  }
  return at;
}

/** Edges cut into pieces on the geodesic: straight in a frame about the edge's middle is a geodesic to 1e-12 here. */
function densified(corners: LonLat[], pieces: number): LonLat[] {
  return corners.flatMap((corner, i) => {
    const next = corners[(i + 1) % corners.length]!;
    const frame = createFrame([(corner[0] + next[0]) / 2, (corner[1] + next[1]) / 2]);
    const [ax, ay] = frame.toLocal(...corner);
    const [bx, by] = frame.toLocal(...next);
    return Array.from({ length: pieces }, (_, k): LonLat => {
      const t = k / pieces;
      return frame.toLonLat(ax + t * (bx - ax), ay + t * (by - ay));
    });
  });
}
