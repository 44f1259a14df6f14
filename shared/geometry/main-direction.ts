const LEAST_AGREEMENT = 0.3;

/**
 * The direction that most of a drive runs along, to and fro alike, radians from x (east) towards y (north), 0 to π; null
 * where no direction is common (a spiral, a drive round and round): the mean of doubled angles is then shorter than 0.3.
 * @param headingDeg of each piece of the drive, clockwise from north; NaN is left out @param lengthM of each piece
 * @cost O(pieces)
 */
export function mainDirection(headingDeg: ArrayLike<number>, lengthM: ArrayLike<number>): number | null {
  let [cos, sin, length] = [0, 0, 0];
  for (let i = 0; i < headingDeg.length; i++) {
    const doubled = 2 * (Math.PI / 2 - (headingDeg[i]! * Math.PI) / 180);
    if (Number.isNaN(doubled)) continue;
    cos += lengthM[i]! * Math.cos(doubled);
    sin += lengthM[i]! * Math.sin(doubled);
    length += lengthM[i]!;
  }
  if (!(Math.hypot(cos, sin) > LEAST_AGREEMENT * length)) return null;
  const direction = Math.atan2(sin, cos) / 2;
  return direction < 0 ? direction + Math.PI : direction;
}
