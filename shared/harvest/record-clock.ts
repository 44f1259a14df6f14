/**
 * The clock of a log: which steps are pauses, how long each record stands for, how fast the machine went.
 */
import type { CleaningLimits } from './clean-log.ts';

export interface RecordClock {
  /** A longer step is a gap, s. */
  readonly gapS: number;
  /** The log's usual step, s. */
  readonly intervalS: number;
  /** Whether the file's times are too coarse to tell one step from the next. */
  readonly coarse: boolean;
  /** Seconds that each point stands for: as logged, else the step to the next, else the usual step. */
  readonly durationS: Float64Array;
  /** Seconds to the next point (evened out where times are coarse); the usual step where none follows. */
  readonly stepS: Float64Array;
}

/**
 * A record stands for the interval from itself to the next. Times that were rounded on writing (days with five decimals
 * are steps of 0.864 s) jump between one and two roundings though the machine logged evenly: where more than a twentieth
 * of the steps leave the median by over a fifth and are still short, each record stands for the mean step of ten about it.
 * @param timeS points of the path in time order
 * @param loggedS as logged; NaN where missing
 * @source a gap is over 5 s, or over three times the median step if longer (methods-season §1.1); the rest *assumed*
 * @cost O(n log n)
 */
export function readClock(timeS: Float64Array, loggedS: ArrayLike<number>, limits: CleaningLimits): RecordClock {
  const count = timeS.length;
  const durationS = new Float64Array(count);
  const stepS = new Float64Array(count).fill(1);
  if (count < 2) {
    for (let k = 0; k < count; k++) durationS[k] = loggedS[k]! > 0 ? loggedS[k]! : 1;
    return { gapS: limits.gapS, intervalS: 1, coarse: false, durationS, stepS };
  }
  const steps = new Float64Array(count - 1);
  for (let k = 0; k < steps.length; k++) steps[k] = timeS[k + 1]! - timeS[k]!;
  const medianS = Float64Array.from(steps).sort()[steps.length >> 1]!;
  const gapS = Math.max(limits.gapS, 3 * medianS);

  let uneven = 0;
  let short = 0;
  let shortS = 0;
  for (const step of steps) {
    if (step > 2.1 * medianS || step <= 0) continue;
    short++;
    shortS += step;
    if (Math.abs(step - medianS) > 0.2 * medianS) uneven++;
  }
  const coarse = uneven > 0.05 * steps.length;
  const intervalS = coarse ? shortS / short : medianS;

  // Start of the stretch (no gap) that each point lies in, walked along with its end.
  let stretchFrom = 0;
  let stretchTo = 0;
  for (let k = 0; k < count; k++) {
    if (k >= stretchTo) {
      stretchFrom = k;
      stretchTo = k + 1;
      while (stretchTo < count && steps[stretchTo - 1]! <= gapS && steps[stretchTo - 1]! > 0) stretchTo++;
    }
    if (k + 1 === count) stepS[k] = intervalS;
    else if (coarse && k + 1 < stretchTo) {
      const from = Math.max(stretchFrom, k - 5);
      const to = Math.min(stretchTo - 1, k + 5);
      stepS[k] = (timeS[to]! - timeS[from]!) / (to - from);
    } else stepS[k] = steps[k]!;
    durationS[k] = loggedS[k]! > 0 ? loggedS[k]! : k + 1 < stretchTo ? stepS[k]! : intervalS;
  }
  return { gapS, intervalS, coarse, durationS, stepS };
}

/**
 * Speed at each point: as logged, else the distance to the next point over the time to it; the last of a stretch keeps
 * the one before.
 * @param breakBefore 1 where a gap lies before the point
 * @returns m/s; NaN for a lone point
 */
export function pointSpeeds(
  xM: Float64Array,
  yM: Float64Array,
  stepS: Float64Array,
  breakBefore: Uint8Array,
  loggedMS: ArrayLike<number>,
): Float64Array<ArrayBuffer> {
  const count = xM.length;
  const speeds = new Float64Array(count);
  for (let k = 0; k < count; k++) {
    if (loggedMS[k]! >= 0) speeds[k] = loggedMS[k]!;
    else if (k + 1 < count && breakBefore[k + 1] === 0) {
      const dx = xM[k + 1]! - xM[k]!;
      const dy = yM[k + 1]! - yM[k]!;
      speeds[k] = Math.sqrt(dx * dx + dy * dy) / stepS[k]!;
    } else speeds[k] = k > 0 && breakBefore[k] === 0 ? speeds[k - 1]! : NaN;
  }
  return speeds;
}
