/** An axis of days: where a day lies, and which months are marked. */
import { dateOf, dayNumberOf, daysInMonth } from '../../shared/units/calendar.ts';

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'] as const;

export interface DayAxis {
  readonly fromDay: number;
  /** Its own day is still on the axis. */
  readonly toDay: number;
  readonly widthPx: number;
}

/** Left edge of a day, px; a day is as wide as `dayWidth`. */
export function dayX({ fromDay, toDay, widthPx }: DayAxis, day: number): number {
  return ((day - fromDay) / (toDay + 1 - fromDay)) * widthPx;
}

export function dayWidth({ fromDay, toDay, widthPx }: DayAxis): number {
  return widthPx / (toDay + 1 - fromDay);
}

export interface MonthMark {
  readonly name: string;
  readonly x: number;
  readonly widthPx: number;
}

/** The months that begin on the axis, and the one that it begins in. */
export function monthMarks(axis: DayAxis): MonthMark[] {
  const out: MonthMark[] = [];
  let { year, month } = dateOf(axis.fromDay);
  for (let first = dayNumberOf(year, month, 1); first <= axis.toDay;) {
    const length = daysInMonth(year, month);
    const from = Math.max(first, axis.fromDay);
    const to = Math.min(first + length, axis.toDay + 1);
    out.push({ name: MONTHS[month - 1]!, x: dayX(axis, from), widthPx: (to - from) * dayWidth(axis) });
    first += length;
    month = (month % 12) + 1;
    if (month === 1) year++;
  }
  return out;
}

/** "May 9". */
export function shortDay(day: number): string {
  const { month, day: date } = dateOf(day);
  return `${MONTHS[month - 1]} ${date}`;
}
