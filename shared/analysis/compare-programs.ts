/**
 * A program beside current practice in one word, for any rung of evidence: where money can be told, by the range of its gain; where
 * nobody looked, by what its passes kill alone.
 */
import { COHORT_ORDER } from '../agronomy/cohorts.ts';
import { combinedControlFraction, controlRange } from '../agronomy/control.ts';
import type { Program } from '../model/farm.ts';
import type { Range } from '../model/range.ts';
import { passesFor } from './program-control.ts';

export type Compared = 'better' | 'worse' | 'the same' | 'cannot tell';

/** By money: better where even the low end gains, worse where even the high end loses. */
export function comparedByGain(gain: Range): Compared {
  if (gain.low === null) return 'cannot tell';
  if (gain.low === 0 && gain.high === 0) return 'the same';
  return gain.low > 0 ? 'better' : gain.high < 0 ? 'worse' : 'cannot tell';
}

/** By weed control alone, over all crops: better where no cohort is killed less and one is killed more. Cost does not enter. */
export function comparedByControl(program: Program, asNow: Program, crops: readonly string[]): Compared {
  let [more, less] = [false, false];
  for (const crop of crops) {
    for (const cohort of COHORT_ORDER) {
      const killed = (one: Program) =>
        combinedControlFraction(
          passesFor(one, crop).map((pass) => controlRange(pass.control[cohort] ?? 'none').central),
        );
      const difference = killed(program) - killed(asNow);
      if (difference > 1e-12) more = true;
      if (difference < -1e-12) less = true;
    }
  }
  return more && less ? 'cannot tell' : more ? 'better' : less ? 'worse' : 'the same';
}
