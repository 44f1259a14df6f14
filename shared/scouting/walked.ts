/** How far somebody went, in all and on one field's ground. */
import { geodesicDistanceM } from '../geometry/geodesic.ts';
import type { Frame } from '../geometry/local-frame.ts';
import type { PolygonIndex } from '../geometry/polygon-index.ts';
import type { LonLat } from '../geometry/types.ts';
import type { TrackLine, TrackRecords } from '../model/records.ts';

export function lineOf({ lon, lat }: Pick<TrackLine, 'lon' | 'lat'>): LonLat[] {
  return Array.from(lon, (x, at) => [x, lat[at]!]);
}

/** m, along the ellipsoid. */
export function trackLengthM({ lines }: Pick<TrackRecords, 'lines'>): number {
  return lines.reduce((sum, one) => {
    const way = lineOf(one);
    return sum + way.slice(1).reduce((all, at, n) => all + geodesicDistanceM(way[n]!, at), 0);
  }, 0);
}

/** A leg that crosses a boundary is told to about this. */
const PIECE_M = 1;

/**
 * Length of the lines on a field's ground.
 * @param within in meters of `frame`
 * @returns m, within a meter for each crossing of the boundary
 * @cost O(length in meters) on legs near the field
 */
export function lengthWithinM(
  lines: readonly Pick<TrackLine, 'lon' | 'lat'>[],
  frame: Frame,
  within: PolygonIndex,
): number {
  let sumM = 0;
  for (const { lon, lat } of lines) {
    for (let at = 1; at < lon.length; at++) {
      if (!isNear(lon[at]!, lat[at]!, frame)) continue;
      const [x0, y0] = frame.toLocal(lon[at - 1]!, lat[at - 1]!);
      const [x1, y1] = frame.toLocal(lon[at]!, lat[at]!);
      const legM = Math.hypot(x1 - x0, y1 - y0);
      const pieces = Math.max(1, Math.ceil(legM / PIECE_M));
      let inside = 0;
      for (let piece = 0; piece < pieces; piece++) {
        const share = (piece + 0.5) / pieces;
        if (within.contains(x0 + share * (x1 - x0), y0 + share * (y1 - y0))) inside++;
      }
      sumM += (legM * inside) / pieces;
    }
  }
  return sumM;
}

/** First and last local day of the timed points, as day numbers; null where nothing is timed. */
export function daysOfTrack(
  { lines, waypoints }: Pick<TrackRecords, 'lines' | 'waypoints'>,
  utcOffsetMinutes: number,
): { readonly first: number; readonly last: number } | null {
  let [first, last] = [Infinity, -Infinity];
  const take = (timeS: number): void => {
    [first, last] = [Math.min(first, timeS), Math.max(last, timeS)];
  };
  for (const { timeS } of lines) for (const one of timeS) if (!Number.isNaN(one)) take(one);
  // A stop that went out keeps the time at which it was written, if any: nobody was there then.
  for (const { timeS, isStop } of waypoints) if (timeS !== null && !isStop) take(timeS);
  const dayOf = (timeS: number) => Math.floor((timeS + 60 * utcOffsetMinutes) / 86_400);
  return first === Infinity ? null : { first: dayOf(first), last: dayOf(last) };
}

/** Nothing of a field lies half a degree away, and a local frame serves no farther. */
function isNear(lon: number, lat: number, { origin }: Frame): boolean {
  return Math.abs(lon - origin[0]) < 0.5 && Math.abs(lat - origin[1]) < 0.5;
}
