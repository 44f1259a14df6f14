import { expect, test } from 'vitest';
import {
  dateOf,
  dayNumber,
  dayNumberOf,
  daysInMonth,
  dayText,
  instantText,
  isLeapYear,
} from '../../../shared/units/calendar.ts';

test.each(['', '2026-13-01', '2026-00-10', '2026-02-29', '2026-04-31', '26-04-01', '2026-4-1', '2026-04-01T00:00'])(
  '"%s" is no calendar day',
  (text) => {
    expect(dayNumber(text)).toBeNull();
  },
);

test('the first day is 0', () => {
  expect(dayNumberOf(1970, 1, 1)).toBe(0);
  expect(dayText(0)).toBe('1970-01-01');
  expect(dayNumber('1969-12-31')).toBe(-1);
});

test('every day from 1583 to 2500 agrees with the host’s calendar, there and back', () => {
  for (let number = dayNumberOf(1583, 1, 1); number <= dayNumberOf(2500, 12, 31); number++) {
    const host = new Date(number * 86_400_000).toISOString().slice(0, 10);
    if (dayText(number) !== host || dayNumber(host) !== number)
      expect.fail(`day ${number}: ${dayText(number)} is not ${host}`);
  }
});

test('instants agree with the host’s to the second, before and after 1970', () => {
  for (const unixS of [0, 1, -1, 951_827_696, 1_791_036_309.9, -86_401, 4_102_444_800]) {
    expect(instantText(unixS)).toBe(`${new Date(Math.floor(unixS) * 1000).toISOString().slice(0, 19)}Z`);
  }
});

test('leap years by the rule of 4, 100 and 400', () => {
  expect([1900, 2000, 2024, 2026].map(isLeapYear)).toEqual([false, true, true, false]);
  expect(daysInMonth(2024, 2)).toBe(29);
  expect(Array.from({ length: 12 }, (_, i) => daysInMonth(2026, i + 1)).reduce((a, b) => a + b)).toBe(365);
  expect(dateOf(dayNumberOf(2024, 2, 29))).toEqual({ year: 2024, month: 2, day: 29 });
});
