/**
 * Days of the proleptic Gregorian calendar as whole numbers since 1970-01-01, without a clock.
 * Convention: civil-from-days by 400-year eras (common practice, no source); checked against the host's calendar in tests.
 */

/** An ISO 8601 calendar day, `YYYY-MM-DD`. */
export type Day = string;

/** Days since 1970-01-01 of a civil date. @param month 1–12 @param day 1–31 */
export function dayNumberOf(year: number, month: number, day: number): number {
  const shifted = month <= 2 ? year - 1 : year;
  const era = Math.floor(shifted / 400);
  const yearOfEra = shifted - era * 400;
  const dayOfYear = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + day - 1;
  const dayOfEra = yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear;
  return era * 146097 + dayOfEra - 719468;
}

/** Days since 1970-01-01 of an ISO day, or null where the text is no calendar day. */
export function dayNumber(day: Day): number | null {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(day);
  if (!match) return null;
  const [year, month, date] = [Number(match[1]), Number(match[2]), Number(match[3])];
  if (month < 1 || month > 12 || date < 1 || date > daysInMonth(year, month)) return null;
  return dayNumberOf(year, month, date);
}

/** The civil date of a day number. */
export function dateOf(dayNumber: number): { year: number; month: number; day: number } {
  const z = Math.floor(dayNumber) + 719468;
  const era = Math.floor(z / 146097);
  const dayOfEra = z - era * 146097;
  const yearOfEra = Math.floor(
    (dayOfEra - Math.floor(dayOfEra / 1460) + Math.floor(dayOfEra / 36524) - Math.floor(dayOfEra / 146096)) / 365,
  );
  const dayOfYear = dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100));
  const mp = Math.floor((5 * dayOfYear + 2) / 153);
  const month = mp < 10 ? mp + 3 : mp - 9;
  return {
    year: yearOfEra + era * 400 + (month <= 2 ? 1 : 0),
    month,
    day: dayOfYear - Math.floor((153 * mp + 2) / 5) + 1,
  };
}

/** A day number as an ISO day. */
export function dayText(number: number): Day {
  const { year, month, day } = dateOf(number);
  return `${String(year).padStart(4, '0')}-${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}`;
}

/** Unix seconds as ISO 8601 UTC, to the second: `2026-10-03T14:05:09Z`. */
export function instantText(unixS: number): string {
  const whole = Math.floor(unixS);
  const day = Math.floor(whole / 86400);
  const rest = whole - day * 86400;
  const two = (n: number) => String(n).padStart(2, '0');
  return `${dayText(day)}T${two(Math.floor(rest / 3600))}:${two(Math.floor(rest / 60) % 60)}:${two(rest % 60)}Z`;
}

/** Unix seconds of `2026-10-03T14:05:09Z`, or null where the text is no instant of that form. */
export function instantSeconds(text: string): number | null {
  const match = /^(\d{4}-\d{2}-\d{2})T(\d{2}):(\d{2}):(\d{2})Z$/.exec(text);
  const day = match ? dayNumber(match[1]!) : null;
  if (!match || day === null) return null;
  const [hours, minutes, seconds] = [Number(match[2]), Number(match[3]), Number(match[4])];
  return hours > 23 || minutes > 59 || seconds > 59 ? null : day * 86400 + hours * 3600 + minutes * 60 + seconds;
}

export function isLeapYear(year: number): boolean {
  return year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
}

export function daysInMonth(year: number, month: number): number {
  return month === 2 ? (isLeapYear(year) ? 29 : 28) : [4, 6, 9, 11].includes(month) ? 30 : 31;
}
