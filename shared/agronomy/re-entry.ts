/**
 * Days on which a field is closed after a spraying. The label's re-entry interval is in hours; a record holds the day of the spraying
 * and not its hour, so the interval is counted from the end of that day: never open too early.
 */
import { type Day, dayNumber } from '../units/calendar.ts';

export interface ClosedDays {
  /** Day numbers, both closed. */
  readonly fromDay: number;
  readonly toDay: number;
}

/** @param hours the label's interval; 0 closes the day of the spraying alone */
export function closedDays(on: Day, hours: number): ClosedDays {
  const day = dayNumber(on);
  if (day === null || !(hours >= 0 && hours < Infinity)) throw new Error(`closedDays: ${hours} h from ${on}`);
  return { fromDay: day, toDay: day + Math.ceil(hours / 24) };
}

/** Whether any day of a stay lies in the closed days. */
export function isClosed({ fromDay, toDay }: ClosedDays, stayFromDay: number, stayToDay = stayFromDay): boolean {
  return stayFromDay <= toDay && stayToDay >= fromDay;
}
