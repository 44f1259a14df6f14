/** What is not believed of a harvest log, whichever format it came in. */

export interface PositionDoubt {
  readonly code: string;
  readonly why: string;
  /** Which of the two is to be looked at first. */
  readonly of: 'lon' | 'lat';
}

/** Why a position of a log cannot be used; null where it can. Degrees; NaN where none is given. */
export function positionDoubt(lon: number, lat: number): PositionDoubt | null {
  if (lon === 0 && lat === 0)
    return { code: 'position-zero', why: 'its position is 0, 0 (no satellite fix)', of: 'lon' };
  if (lon !== lon || lat !== lat)
    return { code: 'position-missing', why: 'it has no position', of: lon !== lon ? 'lon' : 'lat' };
  const [isLon, isLat] = [Math.abs(lon) <= 180, Math.abs(lat) <= 90];
  if (isLon && isLat) return null;
  return { code: 'position-range', why: `its position ${lon}, ${lat} is nowhere on earth`, of: isLon ? 'lat' : 'lon' };
}

/** Widest header believed, m: a wider one is told and left out. @source common practice, no source */
export const WIDEST_M = 25;

/** NaN is none, and passes. */
export function isWidth(widthM: number): boolean {
  return !(widthM < 0 || widthM > WIDEST_M);
}
