/** Calendar days as people write them. Which number is the month is decided once for a whole column, and told. */
import { problem } from '../model/problem.ts';
import type { Problem } from '../model/problem.ts';
import { dayNumberOf, daysInMonth } from '../units/calendar.ts';

export type DayOrder = 'year first' | 'month first' | 'day first';

const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec'];
const YEAR_FIRST = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?!\d)/;
const YEAR_LAST = /^(\d{1,2})[-/.](\d{1,2})[-/.](\d{4}|\d{2})(?!\d)/;
const COMPACT = /^(\d{4})(\d{2})(\d{2})(?=$|\D|\d{6}(?:\D|$))/;
const DAY_NAMED = /^(\d{1,2})[-\s./]?([a-z]{3,9})\.?[-\s,./]+(\d{4}|\d{2})(?!\d)/i;
const MONTH_NAMED = /^([a-z]{3,9})\.?[-\s.]?(\d{1,2})(?:st|nd|rd|th)?[-\s,.]+(\d{4})(?!\d)/i;

/** Two digits of a year: 70–99 are 1970–1999, the rest 2000–2069. */
function fullYear(year: number): number {
  return year >= 100 ? year : year >= 70 ? 1900 + year : 2000 + year;
}

function civil(year: number, month: number, day: number): number | null {
  if (month < 1 || month > 12 || day < 1 || day > daysInMonth(year, month)) return null;
  return dayNumberOf(year, month, day);
}

/** Day number and length of the date at the start of `text`, or null. */
export function dayAtStart(text: string, order: DayOrder): { day: number; length: number } | null {
  const found = (match: RegExpExecArray, year: number, month: number, date: number) => {
    const day = civil(year, month, date);
    return day === null ? null : { day, length: match[0].length };
  };
  let match = YEAR_FIRST.exec(text);
  if (match) return found(match, Number(match[1]), Number(match[2]), Number(match[3]));
  match = YEAR_LAST.exec(text);
  if (match) {
    const [first, second, year] = [Number(match[1]), Number(match[2]), fullYear(Number(match[3]))];
    return order === 'day first' ? found(match, year, second, first) : found(match, year, first, second);
  }
  match = DAY_NAMED.exec(text);
  if (match) return found(match, fullYear(Number(match[3])), monthOf(match[2]!), Number(match[1]));
  match = MONTH_NAMED.exec(text);
  if (match) return found(match, Number(match[3]), monthOf(match[1]!), Number(match[2]));
  match = COMPACT.exec(text);
  if (match) return found(match, Number(match[1]), Number(match[2]), Number(match[3]));
  return null;
}

function monthOf(name: string): number {
  return MONTHS.indexOf(name.slice(0, 3).toLowerCase()) + 1;
}

/** Day number of a cell that holds a date, whatever clock follows; a spreadsheet's serial day too. Null where it is none. */
export function readDay(text: string, order: DayOrder): number | null {
  const found = dayAtStart(text, order);
  if (found) return found.day;
  if (/^\d{5}(\.\d+)?$/.test(text)) {
    const serial = Number(text);
    if (serial >= 20_000 && serial < 80_000) return Math.floor(serial) - 25_569;
  }
  return null;
}

/**
 * Which of the two first numbers is the month, from all dates seen: a number above 12 decides; without one the month is taken
 * first (as in the United States), and that is told.
 */
export function findDayOrder(
  texts: readonly string[],
  place: { file: string; column: string },
): { order: DayOrder; problems: Problem[] } {
  let firstOver = '';
  let secondOver = '';
  let seen = '';
  for (const text of texts) {
    const match = YEAR_LAST.exec(text);
    if (!match) continue;
    seen ||= match[0];
    if (Number(match[1]) > 12) firstOver ||= match[0];
    if (Number(match[2]) > 12) secondOver ||= match[0];
  }
  const where = { file: place.file, column: place.column };
  if (seen === '') return { order: 'year first', problems: [] };
  if (firstOver !== '' && secondOver !== '') {
    const text = `Column "${place.column}" mixes dates with the day first (${firstOver}) and the month first (${secondOver}).`;
    return {
      order: 'month first',
      problems: [problem('error', 'dates-mixed', text, { where, hint: 'Write all dates as year-month-day.' })],
    };
  }
  if (firstOver !== '')
    return {
      order: 'day first',
      problems: [problem('note', 'day-first', `Dates are read day first (${firstOver}).`, { where })],
    };
  if (secondOver !== '')
    return {
      order: 'month first',
      problems: [problem('note', 'month-first', `Dates are read month first (${secondOver}).`, { where })],
    };
  const text = `Dates like ${seen} could be day or month first; they are read month first.`;
  return {
    order: 'month first',
    problems: [
      problem('warning', 'date-order-unclear', text, {
        where,
        hint: 'If that is wrong, write the dates as year-month-day.',
      }),
    ],
  };
}
