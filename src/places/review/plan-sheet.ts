/** A small plan, north up, one scale both ways: the ground of some bounds laid on a sheet of the screen. */
import type { Bounds, LonLat, MultiPolygon } from '../../../shared/geometry/types.ts';

export interface PlanSheet {
  place(at: LonLat): readonly [x: number, y: number];
  /** SVG path of the rings, for even-odd filling. */
  outline(polygon: MultiPolygon): string;
  readonly pxPerM: number;
}

const METRES_A_DEGREE = 111_195; // mean sphere: a picture, no measure

export function planSheet(bounds: Bounds, width: number, height: number, padding: number): PlanSheet {
  const [west, south, east, north] = bounds;
  const middle: LonLat = [(west + east) / 2, (south + north) / 2];
  const perLon = METRES_A_DEGREE * Math.cos((middle[1] * Math.PI) / 180);
  const pxPerM = Math.min(
    (width - 2 * padding) / Math.max(20, (east - west) * perLon),
    (height - 2 * padding) / Math.max(20, (north - south) * METRES_A_DEGREE),
  );
  const place = ([lon, lat]: LonLat) =>
    [
      width / 2 + (lon - middle[0]) * perLon * pxPerM,
      height / 2 - (lat - middle[1]) * METRES_A_DEGREE * pxPerM,
    ] as const;
  const corner = (at: LonLat) =>
    place(at)
      .map((one) => one.toFixed(1))
      .join(' ');
  return {
    place,
    outline: (polygon) => polygon.flatMap((rings) => rings.map((ring) => `M${ring.map(corner).join('L')}Z`)).join(''),
    pxPerM,
  };
}

export function boundsOf(polygon: MultiPolygon): Bounds {
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [lon, lat] of polygon.flat(2)) {
    west = Math.min(west, lon);
    south = Math.min(south, lat);
    east = Math.max(east, lon);
    north = Math.max(north, lat);
  }
  return [west, south, east, north];
}

export function join(a: Bounds, b: Bounds): Bounds {
  return [Math.min(a[0], b[0]), Math.min(a[1], b[1]), Math.max(a[2], b[2]), Math.max(a[3], b[3])];
}

/** Degrees: about 30 km. Fields farther off than that from the file are not drawn with it. */
const NEAR_DEG = 0.3;

export function isNear(a: Bounds, b: Bounds): boolean {
  return a[0] - NEAR_DEG <= b[2] && b[0] - NEAR_DEG <= a[2] && a[1] - NEAR_DEG <= b[3] && b[1] - NEAR_DEG <= a[3];
}
