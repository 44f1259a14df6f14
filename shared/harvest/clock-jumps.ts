/** A clock that was set while the machine drove on: seen where a log jumps by whole quarters of an hour and the machine does not. */

/** Zones and summer time move clocks by quarters of an hour, a lost date by a day. */
const QUARTER_S = 900;
/** Of a jump from whole quarters, s. *Assumed*. */
export const SLACK_S = 5;
/** As far as a machine comes in a usual step, m. *Assumed*. */
export const STAYED_M = 50;
const HOUR_S = 3600;

export interface ClockJump {
  /** First record behind the jump. */
  readonly record: number;
  /** Seconds that the clock went on (or back) beyond the usual step. */
  readonly byS: number;
}

export interface FollowedClock {
  /** As logged, or with times behind a jump backward going on from the time before it. */
  readonly timeS: Float64Array;
  /** The clock was set back: later times are moved on. */
  readonly back: readonly ClockJump[];
  /** By whole hours: a pause, or a clock that was set; nothing is changed. */
  readonly forward: readonly ClockJump[];
}

/**
 * Follows the clock of a log in file order. Without it, an hour that was logged twice would be taken for two machines at once.
 * @param xM, yM metres; NaN where a record has no place
 * @param machine of each record, where the file tells several apart
 */
export function followClock(
  timeS: Float64Array,
  xM: Float64Array,
  yM: Float64Array,
  machine?: Uint8Array,
): FollowedClock {
  const usualS = usualStepS(timeS);
  const back: ClockJump[] = [];
  const forward: ClockJump[] = [];
  let moved: Float64Array | null = null;
  let shiftS = 0;
  for (let i = 1; i < timeS.length; i++) {
    const byS = timeS[i]! - timeS[i - 1]! - usualS;
    if (Math.abs(byS) >= QUARTER_S - SLACK_S && isSet(i, byS)) {
      if (byS < 0 || shiftS > 0) {
        (byS < 0 ? back : forward).push({ record: i, byS });
        shiftS = Math.max(0, shiftS - byS);
        moved ??= timeS.slice();
      } else if (Math.abs(byS / HOUR_S - Math.round(byS / HOUR_S)) * HOUR_S <= SLACK_S) {
        forward.push({ record: i, byS });
      }
    }
    if (moved && shiftS > 0) moved[i] = timeS[i]! + shiftS;
  }
  return { timeS: moved ?? timeS, back, forward };

  function isSet(i: number, byS: number): boolean {
    if (machine?.[i] !== machine?.[i - 1]) return false;
    if (Math.abs(byS / QUARTER_S - Math.round(byS / QUARTER_S)) * QUARTER_S > SLACK_S) return false;
    return Math.hypot(xM[i]! - xM[i - 1]!, yM[i]! - yM[i - 1]!) <= STAYED_M;
  }
}

function usualStepS(timeS: Float64Array): number {
  const steps: number[] = [];
  const every = Math.max(1, Math.floor(timeS.length / 2000));
  for (let i = 1; i < timeS.length; i += every) {
    const step = timeS[i]! - timeS[i - 1]!;
    if (step > 0) steps.push(step);
  }
  return steps.sort((a, b) => a - b)[steps.length >> 1] ?? 1;
}
