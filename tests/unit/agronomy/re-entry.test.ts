import { describe, expect, it } from 'vitest';
import { closedDays, isClosed } from '../../../shared/agronomy/re-entry.ts';
import { dayNumber } from '../../../shared/units/calendar.ts';

const day = (text: string) => dayNumber(text)!;

describe('re-entry', () => {
  it('counts the interval from the end of the day, since the hour is not on record', () => {
    expect(closedDays('2026-06-10', 12)).toEqual({ fromDay: day('2026-06-10'), toDay: day('2026-06-11') });
    expect(closedDays('2026-06-10', 24)).toEqual({ fromDay: day('2026-06-10'), toDay: day('2026-06-11') });
    expect(closedDays('2026-06-10', 48)).toEqual({ fromDay: day('2026-06-10'), toDay: day('2026-06-12') });
    expect(closedDays('2026-06-30', 0)).toEqual({ fromDay: day('2026-06-30'), toDay: day('2026-06-30') });
  });

  it('closes a stay that touches any closed day, and none that ends before or begins after', () => {
    const closed = closedDays('2026-06-10', 24);
    expect(isClosed(closed, day('2026-06-08'), day('2026-06-10'))).toBe(true);
    expect(isClosed(closed, day('2026-06-11'))).toBe(true);
    expect(isClosed(closed, day('2026-06-09'))).toBe(false);
    expect(isClosed(closed, day('2026-06-12'), day('2026-06-14'))).toBe(false);
  });

  it('refuses hours that are none', () => {
    expect(() => closedDays('2026-06-10', -1)).toThrow(/-1 h/);
    expect(() => closedDays('10 June', 12)).toThrow(/10 June/);
  });
});
