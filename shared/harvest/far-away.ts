import { medianOf } from '../statistics/median.ts';

/** A field's frame is not used beyond this, m. @source geometry/local-frame.ts */
const FRAME_REACH_M = 25_000;

/**
 * Takes the place from records that lie further from the middle of the log than a frame reaches (a receiver that was not
 * ready writes 0, 0): such a record stays in the log and has no place in the path.
 * @param xM, yM metres of the frame; changed to NaN where far away
 * @returns how many were far away
 * @cost O(n log n)
 */
export function forgetFarAway(xM: Float64Array, yM: Float64Array): number {
  const middleX = medianOf(xM.slice());
  const middleY = medianOf(yM.slice());
  let far = 0;
  for (let i = 0; i < xM.length; i++) {
    if (!(Math.abs(xM[i]! - middleX) > FRAME_REACH_M || Math.abs(yM[i]! - middleY) > FRAME_REACH_M)) continue;
    xM[i] = NaN;
    yM[i] = NaN;
    far++;
  }
  return far;
}
