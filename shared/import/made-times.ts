/** Times for a log that has only days: from the start of each recording and the order of logging, and it says so. */
import { dayAtStart, findDayOrder } from './dates.ts';
import type { DayOrder } from './dates.ts';
import type { Numbers } from './growing.ts';

/** Unix seconds in the text of a recording's name ("18/07/18-15:16:35 (236597)"), or null. */
export function startInName(name: string, order: DayOrder): number | null {
  const day = dayAtStart(name, order);
  if (!day) return null;
  const clock = /(\d{1,2}):(\d{2}):(\d{2})/.exec(name.slice(day.length));
  return clock ? day.day * 86_400 + Number(clock[1]) * 3600 + Number(clock[2]) * 60 + Number(clock[3]) : null;
}

export function startsInNames(names: readonly string[], place: { file: string; column: string }): (number | null)[] {
  const { order } = findDayOrder(names, place);
  return names.map((name) => startInName(name, order));
}

/**
 * Seconds of each record: start of its recording plus the seconds covered by those before it, in the order of logging.
 * @param startS of each recording, unix seconds
 * @param durationS of each record; where null or NaN a record covers `usualS`
 */
export function makeTimes(
  recording: Uint32Array,
  sequence: Numbers | null,
  startS: readonly number[],
  durationS: Numbers | null,
  usualS: number,
): Float64Array {
  const count = recording.length;
  const order = Uint32Array.from({ length: count }, (_, i) => i);
  if (sequence) order.sort((a, b) => recording[a]! - recording[b]! || sequence[a]! - sequence[b]! || a - b);
  const clock = [...startS];
  const timeS = new Float64Array(count);
  for (const i of order) {
    const which = recording[i]!;
    timeS[i] = clock[which]!;
    const covered = durationS ? durationS[i]! : NaN;
    clock[which] = clock[which]! + (covered > 0 ? covered : usualS);
  }
  return timeS;
}
