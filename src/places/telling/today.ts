/** The day on the clock of whoever reads, as an ISO day. The core has no clock: a day is handed to it. */
import type { Day } from '../../../shared/units/calendar.ts';

export function today(now = new Date()): Day {
  const two = (n: number) => String(n).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** "May 9", or "May 9, 2026". */
export function dayInWords(day: Day, withYear = false): string {
  const [year, month, date] = day.split('-').map(Number);
  const text = `${MONTHS[month! - 1]} ${date}`;
  return withYear ? `${text}, ${year}` : text;
}
