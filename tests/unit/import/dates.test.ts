import { expect, test } from 'vitest';
import { findDayOrder, readDay } from '../../../shared/import/dates.ts';
import { dayNumber } from '../../../shared/units/calendar.ts';

const place = { file: 'a.csv', column: 'date' };
const day = dayNumber('2026-08-26');

test.each([
  ['2026-08-26', 'year first'],
  ['2026/8/26', 'year first'],
  ['20260826', 'year first'],
  ['2026-08-26T10:00:00Z', 'year first'],
  ['8/26/2026', 'month first'],
  ['08-26-26', 'month first'],
  ['26.08.2026', 'day first'],
  ['26/8/26', 'day first'],
  ['26-Aug-2026', 'month first'],
  ['26 August 2026', 'month first'],
  ['Aug 26, 2026', 'month first'],
  ['46260', 'year first'],
] as const)('"%s" (%s) is 2026-08-26', (text, order) => {
  expect(readDay(text, order)).toBe(day);
});

test.each(['2026-02-29', '2026-13-01', '31/06/2026', 'yesterday', '', '12', '2026'])('"%s" is no day', (text) => {
  expect(readDay(text, 'day first')).toBeNull();
});

test('two figures of a year are 1970 to 2069', () => {
  expect(readDay('1/2/70', 'month first')).toBe(dayNumber('1970-01-02'));
  expect(readDay('1/2/69', 'month first')).toBe(dayNumber('2069-01-02'));
});

test('the order is found from a number over 12; none is a warning; both ways is an error', () => {
  expect(findDayOrder(['5/6/2026', '26/8/2026'], place)).toMatchObject({
    order: 'day first',
    problems: [{ code: 'day-first', level: 'note' }],
  });
  expect(findDayOrder(['5/6/2026', '8/26/2026'], place)).toMatchObject({
    order: 'month first',
    problems: [{ code: 'month-first' }],
  });
  expect(findDayOrder(['5/6/2026'], place)).toMatchObject({
    order: 'month first',
    problems: [{ code: 'date-order-unclear', level: 'warning' }],
  });
  expect(findDayOrder(['26/8/2026', '8/26/2026'], place).problems[0]).toMatchObject({
    code: 'dates-mixed',
    level: 'error',
  });
  expect(findDayOrder(['2026-08-26'], place).problems).toEqual([]);
});
