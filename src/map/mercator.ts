/** Web Mercator, as the map library draws it: the world is one unit wide, y grows southward. */
import type { LonLat } from '../../shared/geometry/types.ts';

const EQUATOR_M = 2 * Math.PI * 6378137;
export const TILE_PX = 512;

export function mercatorOf([lon, lat]: LonLat): [x: number, y: number] {
  const sine = Math.sin((lat * Math.PI) / 180);
  return [(lon + 180) / 360, 0.5 - Math.log((1 + sine) / (1 - sine)) / (4 * Math.PI)];
}

/** Mercator units of a meter on the ground, there. */
export function mercatorPerM(lat: number): number {
  return 1 / (EQUATOR_M * Math.cos((lat * Math.PI) / 180));
}

export function pxPerMAt(zoom: number, lat: number): number {
  return TILE_PX * 2 ** zoom * mercatorPerM(lat);
}

export function lonLatOf([x, y]: readonly [number, number]): LonLat {
  return [x * 360 - 180, (Math.atan(Math.sinh(Math.PI * (1 - 2 * y))) * 180) / Math.PI];
}
