/**
 * A clock coarser than the log: whole minutes, or whole seconds under five records a second. Records that share a time are spread over
 * the step of the clock in the order in which they were logged, so that order, distance and speed hold; no time moves by more than a step.
 */

/** Steps of clocks that were seen or can be thought of, s; the coarsest that fits is taken. */
const STEPS_S = [60, 30, 20, 15, 10, 5, 2, 1] as const;
/** Where fewer records share their time, those are doubles and not the clock's doing. *Assumed*. */
const SHARED_FRACTION = 0.5;

export interface SpreadTimes {
  readonly timeS: Float64Array;
  /** Of the clock. */
  readonly stepS: number;
  /** Records in a full step of it: the usual number, and the most. */
  readonly usual: number;
  readonly most: number;
}

/** Records in a row of one time. */
interface Group {
  readonly from: number;
  readonly count: number;
  readonly atS: number;
}

/**
 * @param timeS in the order of logging; one machine
 * @returns null where the clock tells records apart
 * @cost O(n)
 */
export function spreadCoarseTimes(timeS: Float64Array): SpreadTimes | null {
  const groups = groupsOf(timeS);
  const shared = groups.reduce((sum, one) => sum + (one.count > 1 ? one.count : 0), 0);
  if (shared === 0 || shared < SHARED_FRACTION * timeS.length) return null;
  const stepS = STEPS_S.find((step) => groups.every(({ atS }) => atS % step === 0));
  if (stepS === undefined) return null;
  const follows = (n: number) => n > 0 && groups[n]!.atS - groups[n - 1]!.atS === stepS;
  const isLed = (n: number) => n + 1 < groups.length && follows(n + 1);
  const full = groups.filter((_, n) => follows(n) && isLed(n)).map((one) => one.count);
  const counts = (full.length > 0 ? full : groups.map((one) => one.count)).sort((a, b) => a - b);
  const usual = counts[counts.length >> 1]!;
  const spread = new Float64Array(timeS.length);
  groups.forEach(({ from, count, atS }, n) => {
    // A step that the log fills is shared evenly; one that it begins or ends in, at the usual pace from where it is known.
    const isFull = follows(n) && isLed(n);
    const paceS = isFull ? stepS / count : stepS / Math.max(usual, count);
    const startS = !follows(n) && isLed(n) ? atS + stepS - count * paceS : atS;
    for (let k = 0; k < count; k++) spread[from + k] = startS + k * paceS;
  });
  return { timeS: spread, stepS, usual, most: counts.at(-1)! };
}

function groupsOf(timeS: Float64Array): Group[] {
  const groups: Group[] = [];
  for (let from = 0; from < timeS.length;) {
    let end = from + 1;
    while (end < timeS.length && timeS[end] === timeS[from]) end++;
    groups.push({ from, count: end - from, atS: timeS[from]! });
    from = end;
  }
  return groups;
}

/** "whole minutes", "steps of 10 seconds". */
export function stepWords(stepS: number): string {
  if (stepS === 60) return 'whole minutes';
  return stepS === 1 ? 'whole seconds' : `steps of ${stepS} seconds`;
}
