/** Times of a log's records as seconds: what form a column has, found once from its first values and told, then read row by row. */
import { problem } from '../model/problem.ts';
import type { Problem } from '../model/problem.ts';
import { dayAtStart, findDayOrder } from './dates.ts';
import type { DayOrder } from './dates.ts';
import { isMissing } from './number-text.ts';

export type TimeKind =
  'date and clock' | 'date' | 'clock' | 'unix seconds' | 'unix milliseconds' | 'serial day' | 'seconds';

export interface TimeForm {
  readonly kind: TimeKind;
  readonly order: DayOrder;
  /** The cells say their own zone ("Z", "+02:00"). */
  readonly zoned: boolean;
  /** Decimals of a serial day: 5 means steps of 0.864 s. */
  readonly decimals: number;
  /** Every cell is a day without a time of day (midnight, or a whole serial day). */
  readonly wholeDays: boolean;
}

const CLOCK =
  /^[T\s]*(\d{1,2}):(\d{2})(?::(\d{2}(?:[.,]\d+)?))?\s*([ap])?\.?m?\.?\s*(?:UTC|GMT)?\s*(Z|[+-]\d{2}:?\d{2})?$/i;
const COMPACT_CLOCK = /^[T\s]*(\d{2})(\d{2})(\d{2}(?:\.\d+)?)$/;

interface Clock {
  readonly seconds: number;
  readonly offsetMinutes: number | null;
}

function clockOf(text: string): Clock | null {
  const match = CLOCK.exec(text) ?? COMPACT_CLOCK.exec(text);
  if (!match) return null;
  let hours = Number(match[1]);
  const minutes = Number(match[2]);
  const seconds = match[3] === undefined ? 0 : Number(match[3].replace(',', '.'));
  const half = match[4]?.toLowerCase();
  if (half === 'p' && hours < 12) hours += 12;
  if (half === 'a' && hours === 12) hours = 0;
  if (hours > 24 || minutes > 59 || seconds >= 61) return null;
  const zone = match[5];
  let offsetMinutes: number | null = null;
  if (zone !== undefined) {
    const digits = zone.replace(/[^\d]/g, '');
    offsetMinutes =
      digits === '' ? 0 : (zone[0] === '-' ? -1 : 1) * (Number(digits.slice(0, 2)) * 60 + Number(digits.slice(2)));
  }
  return { seconds: hours * 3600 + minutes * 60 + seconds, offsetMinutes };
}

/** The form of a column of times, or null where its values are none. */
export function findTimeForm(
  texts: readonly string[],
  place: { file: string; column: string },
): { form: TimeForm; problems: Problem[] } | null {
  const given = texts.filter((text) => !isMissing(text)).slice(0, 2000);
  if (given.length === 0) return null;
  const numbers = given.map(Number).filter((value) => Number.isFinite(value));
  const base = { order: 'year first' as DayOrder, zoned: false, decimals: 0, wholeDays: false };
  if (numbers.length >= given.length * 0.9) {
    const typical = [...numbers].sort((a, b) => a - b)[numbers.length >> 1]!;
    const decimals = Math.max(...given.map((text) => /\.(\d+)$/.exec(text)?.[1]!.length ?? 0));
    if (
      typical >= 19_000_000_000_000 &&
      typical < 22_000_000_000_000_00 &&
      given.every((text) => /^\d{14}(\.\d+)?$/.test(text))
    ) {
      return { form: { ...base, kind: 'date and clock' }, problems: [] };
    }
    if (
      typical >= 19_700_101 &&
      typical < 22_000_000 &&
      given.every((text) => dayAtStart(text, 'year first') !== null)
    ) {
      return { form: { ...base, kind: 'date', wholeDays: true }, problems: [] };
    }
    const areDays = (unit: number) => numbers.length > 1 && numbers.every((one) => one % unit === 0);
    if (typical >= 3e11 && typical < 1e13)
      return { form: { ...base, kind: 'unix milliseconds', wholeDays: areDays(86_400_000) }, problems: [] };
    if (typical >= 3e8 && typical < 1e10)
      return { form: { ...base, kind: 'unix seconds', wholeDays: areDays(86_400) }, problems: [] };
    if (typical >= 29_000 && typical < 80_000 && (decimals >= 3 || areFewDays(numbers))) {
      return { form: { ...base, kind: 'serial day', decimals, wholeDays: areDays(1) }, problems: [] };
    }
    if (typical >= 0 && typical < 1e8) return { form: { ...base, kind: 'seconds' }, problems: [] };
    return null;
  }
  const { order, problems } = findDayOrder(given, place);
  let dates = 0;
  let clocks = 0;
  let zoned = 0;
  let neither = 0;
  let midnights = 0;
  for (const text of given) {
    const start = dayAtStart(text, order);
    const clock = clockOf(start ? text.slice(start.length) : text);
    if (start) dates++;
    if (clock) clocks++;
    if (clock?.seconds === 0) midnights++;
    if (clock && clock.offsetMinutes !== null) zoned++;
    if (!start && !clock) neither++;
  }
  if (neither > given.length / 2) return null;
  const kind: TimeKind = dates > given.length / 2 ? (clocks > given.length / 2 ? 'date and clock' : 'date') : 'clock';
  const wholeDays = kind === 'date' || (kind === 'date and clock' && given.length > 1 && midnights === clocks);
  return { form: { kind, order, zoned: zoned > given.length / 2, decimals: 0, wholeDays }, problems };
}

/** Few different whole numbers within two months: days of a harvest, not seconds of a day. */
function areFewDays(numbers: readonly number[]): boolean {
  const different = new Set(numbers);
  if (numbers.length < 2 || different.size > Math.max(1, numbers.length / 10)) return false;
  let [least, most] = [Infinity, -Infinity];
  for (const one of different) [least, most] = [Math.min(least, one), Math.max(most, one)];
  return most - least <= 62 && [...different].every(Number.isInteger);
}

/** Reads the cells of one column; remembers the last day, since a log's neighbours share it. */
export class TimeReader {
  private lastDate = '';
  private lastDay = 0;
  constructor(
    private readonly form: TimeForm,
    private readonly utcOffsetMinutes: number,
  ) {}

  /** Unix seconds, UTC (seconds as they stand for `seconds`, seconds of the day for `clock`); NaN where unreadable. */
  seconds(text: string): number {
    switch (this.form.kind) {
      case 'unix seconds':
        return plain(text);
      case 'unix milliseconds':
        return plain(text) / 1000;
      case 'seconds':
        return plain(text);
      case 'serial day':
        return (plain(text) - 25_569) * 86_400 - this.utcOffsetMinutes * 60;
      case 'clock': {
        const clock = clockOf(text);
        return clock ? clock.seconds : NaN;
      }
      case 'date':
      case 'date and clock':
        return this.dateAndClock(text);
    }
  }

  private dateAndClock(text: string): number {
    const fast = isoSeconds(text, this.lastDate, this.lastDay);
    if (fast !== fast) {
      const start = dayAtStart(text, this.form.order);
      if (!start) return NaN;
      this.lastDate = text.slice(0, start.length);
      this.lastDay = start.day;
      if (text.length === start.length) return start.day * 86_400 - this.utcOffsetMinutes * 60;
      const clock = clockOf(text.slice(start.length));
      if (!clock) return this.form.kind === 'date' ? start.day * 86_400 - this.utcOffsetMinutes * 60 : NaN;
      return start.day * 86_400 + clock.seconds - (clock.offsetMinutes ?? this.utcOffsetMinutes) * 60;
    }
    return fast - (text.endsWith('Z') ? 0 : this.utcOffsetMinutes * 60);
  }
}

function plain(text: string): number {
  return text === '' ? NaN : Number(text);
}

/** `YYYY-MM-DD?hh:mm:ss[.fff][Z]` on the day just read; NaN for anything else. */
function isoSeconds(text: string, lastDate: string, lastDay: number): number {
  const length = text.length;
  if (
    length < 19 ||
    lastDate.length !== 10 ||
    text.charCodeAt(13) !== 58 ||
    text.charCodeAt(16) !== 58 ||
    !text.startsWith(lastDate)
  )
    return NaN;
  const two = (at: number) => (text.charCodeAt(at) - 48) * 10 + text.charCodeAt(at + 1) - 48;
  const [hours, minutes, seconds] = [two(11), two(14), two(17)];
  if (!(hours >= 0 && hours < 24 && minutes >= 0 && minutes < 60 && seconds >= 0 && seconds < 61)) return NaN;
  let value = lastDay * 86_400 + hours * 3600 + minutes * 60 + seconds;
  let at = 19;
  if (at < length && text.charCodeAt(at) === 46) {
    let part = 0;
    let scale = 1;
    for (at++; at < length; at++) {
      const digit = text.charCodeAt(at) - 48;
      if (digit < 0 || digit > 9) break;
      part = part * 10 + digit;
      scale *= 10;
    }
    value += part / scale;
  }
  if (at === length || (at === length - 1 && text.charCodeAt(at) === 90)) return value;
  return NaN;
}

/** What to say about a form, once. */
export function timeNotes(
  form: TimeForm,
  place: { file: string; column: string },
  utcOffsetMinutes: number | undefined,
): Problem[] {
  const where = { file: place.file, column: place.column };
  const notes: Problem[] = [];
  const absolute = form.kind.startsWith('unix') || form.zoned;
  if (!absolute && form.kind !== 'seconds' && utcOffsetMinutes === undefined) {
    notes.push(
      problem('note', 'time-zone', `Column "${place.column}" does not say its time zone: times are taken as UTC.`, {
        where,
        hint: 'Give the local time zone if days or hours matter.',
      }),
    );
  }
  if (form.kind === 'serial day') {
    const step = 86_400 * 10 ** -form.decimals;
    const coarse = step > 0.1 ? ` With ${form.decimals} decimals they come in steps of ${step.toFixed(3)} s.` : '';
    notes.push(
      problem(coarse ? 'warning' : 'note', 'serial-days', `Times are a spreadsheet's days since 1899-12-30.${coarse}`, {
        where,
      }),
    );
  }
  if (form.kind === 'unix milliseconds')
    notes.push(problem('note', 'unix-milliseconds', 'Times are milliseconds since 1970.', { where }));
  if (form.kind === 'unix seconds')
    notes.push(problem('note', 'unix-seconds', 'Times are seconds since 1970.', { where }));
  if (form.kind === 'seconds') {
    notes.push(
      problem(
        'warning',
        'no-date',
        `Column "${place.column}" counts seconds from a start that the file does not give: times start in 1970.`,
        {
          where,
          hint: 'Give the date of the harvest with the visit.',
        },
      ),
    );
  }
  return notes;
}
