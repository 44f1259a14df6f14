/**
 * How long a machine fills at the start of a pass, read from the log itself.
 * @source methods-season §1.1 ("ramp from the data"; a first-order machine of time constant T reaches 95 % at 3 T); tests/reference/harvest-path
 */
import { medianOf } from '../statistics/median.ts';

const FEWEST_PASSES = 8;
const FULL = 0.95;
const IN_A_ROW = 3;

export interface Ramp {
  /** First step from which three in a row reach 95 % of the passes' medians; null where none does or passes are too few. */
  readonly steps: number | null;
  /** m(k): median over passes of yield k steps after the start ÷ that pass's median. */
  readonly profile: Float64Array;
}

/**
 * @param yieldByPass yields of each pass in time order, one a step; NaN where unknown
 * @cost O(n log n)
 */
export function rampFromPasses(yieldByPass: readonly ArrayLike<number>[], longestSteps = 60): Ramp {
  const passes: { values: ArrayLike<number>; median: number }[] = [];
  let steps = 0;
  for (const values of yieldByPass) {
    const median = medianOf(Float64Array.from(values));
    if (!(median > 0)) continue;
    passes.push({ values, median });
    steps = Math.max(steps, Math.min(longestSteps, values.length));
  }
  const profile = new Float64Array(steps).fill(NaN);
  const column = new Float64Array(passes.length);
  for (let k = 0; k < steps; k++) {
    let filled = 0;
    for (const { values, median } of passes) {
      if (k < values.length && values[k] === values[k]) column[filled++] = values[k]! / median;
    }
    if (filled >= FEWEST_PASSES) profile[k] = medianOf(column.slice(0, filled));
  }
  if (passes.length < FEWEST_PASSES) return { steps: null, profile };
  let row = 0;
  for (let k = 0; k < steps; k++) {
    row = profile[k]! >= FULL ? row + 1 : 0;
    if (row === IN_A_ROW) return { steps: k - IN_A_ROW + 1, profile };
  }
  return { steps: null, profile };
}

/** Longest ramp that is believed, s. @source methods-season §1.1, flag 10: range 0–12 s */
const LONGEST_S = 12;
/** Shorter passes do not reach their own median. *Assumed*. */
const FEWEST_POINTS = 20;

/**
 * The ramp at the start of this log's passes: from the data where at least eight passes show it, else the usual one.
 * @param yields per path point; NaN where unknown
 * @param counts whether a point's yield may speak
 */
export function rampOf(
  pass: Int32Array,
  yields: Float64Array,
  counts: (k: number) => boolean,
  intervalS: number,
  usualS: number,
): { readonly startS: number; readonly fromData: boolean } {
  const byPass: Float64Array[] = [];
  for (let from = 0; from < pass.length;) {
    let to = from + 1;
    while (to < pass.length && pass[to] === pass[from]) to++;
    if (pass[from]! >= 0 && to - from >= FEWEST_POINTS) {
      const values = yields.slice(from, to);
      for (let k = from; k < to; k++) if (!counts(k)) values[k - from] = NaN;
      byPass.push(values);
    }
    from = to;
  }
  const { steps } = rampFromPasses(byPass);
  if (steps === null) return { startS: usualS, fromData: false };
  return { startS: Math.min(LONGEST_S, steps * intervalS), fromData: true };
}
