/** Daily air temperature without holes, or told why not. */
import { dayText } from '../units/calendar.ts';
import { done, problem, refused } from '../model/problem.ts';
import type { Outcome, Problem } from '../model/problem.ts';
import type { WeatherRecords } from '../model/records.ts';

/** One element a day, no day left out. */
export interface DailyAir {
  readonly firstDay: number;
  readonly minC: Float64Array;
  readonly maxC: Float64Array;
}

/** Longest run of missing days that is bridged from its neighbours (*assumed*). */
export const LONGEST_BRIDGE_DAYS = 5;

/** A weather record spread over every day from its first to its last; days that it does not hold are NaN. */
export function dailyAirOf({ day, minC, maxC }: Pick<WeatherRecords, 'day' | 'minC' | 'maxC'>): DailyAir {
  const count = day.length;
  if (count === 0) return { firstDay: 0, minC: new Float64Array(0), maxC: new Float64Array(0) };
  const firstDay = day[0]!;
  const length = day[count - 1]! - firstDay + 1;
  const air = { firstDay, minC: new Float64Array(length).fill(NaN), maxC: new Float64Array(length).fill(NaN) };
  for (let i = 0; i < count; i++) {
    const at = day[i]! - firstDay;
    if (at < 0 || at >= length) throw new Error('dailyAirOf: expected days in date order');
    air.minC[at] = minC[i]!;
    air.maxC[at] = maxC[i]!;
  }
  return air;
}

/**
 * Bridges short holes with a straight line between the days around them, and says how many; refuses a longer hole.
 * Missing days at either end are cut off.
 */
export function fillDailyAir(air: DailyAir): Outcome<DailyAir> {
  const known = (i: number) => !Number.isNaN(air.minC[i]!) && !Number.isNaN(air.maxC[i]!);
  let from = 0;
  let to = air.minC.length;
  while (from < to && !known(from)) from++;
  while (to > from && !known(to - 1)) to--;
  const problems: Problem[] = [];
  if (from === to)
    return refused(problem('warning', 'weather-empty', 'The weather record holds no day with both temperatures.'));
  const minC = air.minC.slice(from, to);
  const maxC = air.maxC.slice(from, to);
  const firstDay = air.firstDay + from;
  let bridged = 0;
  for (let i = 1; i < minC.length; i++) {
    if (known(from + i)) continue;
    let end = i;
    while (!known(from + end)) end++;
    if (end - i > LONGEST_BRIDGE_DAYS)
      return refused(
        problem(
          'warning',
          'weather-gap',
          `Temperatures are missing on ${end - i} days in a row from ${dayText(firstDay + i)}.`,
          { hint: 'Fill the gap from another station; so long a gap is not bridged.' },
        ),
      );
    for (let j = i; j < end; j++) {
      const share = (j - i + 1) / (end - i + 1);
      minC[j] = minC[i - 1]! + (minC[end]! - minC[i - 1]!) * share;
      maxC[j] = maxC[i - 1]! + (maxC[end]! - maxC[i - 1]!) * share;
      bridged++;
    }
    i = end;
  }
  if (bridged > 0)
    problems.push(
      problem(
        'note',
        'weather-bridged',
        `${bridged} days without temperatures were bridged from the days around them.`,
      ),
    );
  return done({ firstDay, minC, maxC }, problems);
}
