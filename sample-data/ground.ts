/**
 * The farm's ground: local metres ↔ degrees, the definition that all outlines and paths of the sample rest on.
 * Sinusoidal about the farm's centre on the WGS 84 ellipsoid: north along the meridian, east along the parallel of the place
 * itself. Areas are exact; shapes shear by at most 4e-4 at the farm's edge.
 */
import { cos, PI, sin } from './elementary.ts';

export const CENTER_LON = -87.21;
export const CENTER_LAT = 40.12;
/** The farm's roads stand a little off north, so that passes never run along the raster. Degrees clockwise. */
export const ROADS_TURNED_DEG = 1.2;

const A = 6378137;
const E2 = 0.0066943799901413165;
const DEGREE = PI / 180;

function meridianRadiusM(latRad: number): number {
  const s = sin(latRad);
  const w = 1 - E2 * s * s;
  return (A * (1 - E2)) / (w * Math.sqrt(w));
}

function parallelRadiusM(latRad: number): number {
  const s = sin(latRad);
  return (A * cos(latRad)) / Math.sqrt(1 - E2 * s * s);
}

const LAT0 = CENTER_LAT * DEGREE;
const RADIUS0 = meridianRadiusM(LAT0);

/** Local metres east and north of the centre → degrees. */
export function toLonLat(eastM: number, northM: number): [number, number] {
  const lat = LAT0 + northM / meridianRadiusM(LAT0 + northM / RADIUS0 / 2);
  return [CENTER_LON + eastM / parallelRadiusM(lat) / DEGREE, lat / DEGREE];
}

/** Degrees → local metres. The inverse of `toLonLat` to under a micrometre on this farm. */
export function toLocal(lon: number, lat: number): [number, number] {
  const latRad = lat * DEGREE;
  return [
    (lon - CENTER_LON) * DEGREE * parallelRadiusM(latRad),
    (latRad - LAT0) * meridianRadiusM((latRad + LAT0) / 2),
  ];
}

const TURN_COS = cos(ROADS_TURNED_DEG * DEGREE);
const TURN_SIN = sin(ROADS_TURNED_DEG * DEGREE);

/** Metres along the farm's roads (right, up) → local metres east and north. */
export function alongRoads([right, up]: readonly [number, number]): [number, number] {
  return [right * TURN_COS + up * TURN_SIN, up * TURN_COS - right * TURN_SIN];
}
