/** Records that lie far from the farm they are brought into: a wrong or turned-round coordinate system shows there first. */
import { geodesicDistanceM } from '../geometry/geodesic.ts';
import type { Bounds, LonLat } from '../geometry/types.ts';
import { problem, type Problem } from '../model/problem.ts';
import { type Display, formatDistance } from '../units/format.ts';

/** @source methods-spatial §15: ask beyond 200 km. */
const FAR_M = 200_000;

/**
 * @param bounds of the records, degrees @param farm a place of the farm, degrees
 * @returns null where the middle lies within 200 km; else a question, naming a swap where that would bring it home
 */
export function askIfFarFromFarm(bounds: Bounds, farm: LonLat, file: string, display: Display): Problem | null {
  const middle: LonLat = [(bounds[0] + bounds[2]) / 2, (bounds[1] + bounds[3]) / 2];
  if (!middle.every(Number.isFinite)) return null;
  const distanceM = geodesicDistanceM(middle, farm);
  if (distanceM <= FAR_M) return null;
  const place = `${middle[1].toFixed(3)}, ${middle[0].toFixed(3)} (latitude, longitude)`;
  const text = `The records lie at ${place}, ${formatDistance(distanceM, display)} from the farm`;
  if (Math.abs(middle[0]) <= 90 && geodesicDistanceM([middle[1], middle[0]], farm) <= FAR_M) {
    return problem(
      'warning',
      'coordinates-swapped',
      `${text}; with latitude and longitude swapped they would lie on it.`,
      {
        where: { file },
        hint: 'If they are swapped, say “WGS 84, latitude first” as the coordinate system (--crs "WGS 84, latitude first").',
      },
    );
  }
  return problem('warning', 'far-from-farm', `${text}.`, {
    where: { file },
    hint: 'Is it the right file, and the right coordinate system?',
  });
}
