/** The box of places in degrees. */
import type { Bounds } from '../geometry/types.ts';

export function boundsOfPlaces(lon: Float64Array, lat: Float64Array): Bounds {
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < lon.length; i++) {
    west = Math.min(west, lon[i]!);
    east = Math.max(east, lon[i]!);
    south = Math.min(south, lat[i]!);
    north = Math.max(north, lat[i]!);
  }
  return [west, south, east, north];
}
