import { describe, expect, it } from 'vitest';
import {
  firstDayAtHeight,
  heightByDayMm,
  linearDegreeDaysBetween,
  logisticDegreeDaysBetween,
  logisticHeight,
} from '../../../shared/agronomy/height.ts';
import { closeTo } from '../../support/close-to.ts';

describe('height of the tallest weeds', () => {
  it('grows in a straight line of degree days from the day it was measured', () => {
    const out = heightByDayMm(Float64Array.of(9, 10, 12, 0, 8), 1, 50, 1.5, new Float64Array(5));
    expect([...out]).toEqual([NaN, 50, 65, 83, 83]);
    expect(firstDayAtHeight(out, 65)).toBe(2);
    expect(firstDayAtHeight(out, 100)).toBeNull();
    expect(linearDegreeDaysBetween(50, 83, 1.5)).toBe(22);
  });

  it('goes from height to degree days and back', () => {
    const gdd = logisticDegreeDaysBetween(5, 60, 200, 0.012);
    closeTo(logisticHeight(gdd, 5, 200, 0.012), 60, { within: 1e-9, because: 'rounding' });
  });
});
