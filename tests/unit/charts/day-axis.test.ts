import { describe, expect, it } from 'vitest';
import { dayWidth, dayX, monthMarks, shortDay } from '../../../src/charts/day-axis.ts';
import { dayNumber } from '../../../shared/units/calendar.ts';

const day = (text: string) => dayNumber(text)!;

describe('an axis of days', () => {
  const axis = { fromDay: day('2026-03-15'), toDay: day('2026-05-13'), widthPx: 120 };

  it('gives every day the same width, the last included', () => {
    expect(dayWidth(axis)).toBe(2);
    expect(dayX(axis, axis.fromDay)).toBe(0);
    expect(dayX(axis, axis.toDay)).toBe(118);
  });

  it('marks whole months and what is left of the first and the last', () => {
    expect(monthMarks(axis)).toEqual([
      { name: 'Mar', x: 0, widthPx: 34 },
      { name: 'Apr', x: 34, widthPx: 60 },
      { name: 'May', x: 94, widthPx: 26 },
    ]);
  });

  it('goes over the end of a year and over a leap day', () => {
    const winter = { fromDay: day('2027-12-31'), toDay: day('2028-03-01'), widthPx: 62 };
    expect(monthMarks(winter).map(({ name, widthPx }) => [name, Math.round(widthPx)])).toEqual([
      ['Dec', 1],
      ['Jan', 31],
      ['Feb', 29],
      ['Mar', 1],
    ]);
  });

  it('says a day', () => {
    expect(shortDay(day('2026-05-09'))).toBe('May 9');
  });
});
