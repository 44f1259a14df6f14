import { describe, expect, it } from 'vitest';
import {
  activeFromIndex,
  controlByDay,
  coverDays,
  coverDaysAtRate,
  coverGaps,
  doseAtThreshold,
  emergenceEscapingFraction,
  emergenceInGapsFraction,
  halfControlDoseForCover,
} from '../../../shared/agronomy/cover.ts';
import type { ResidualApplication } from '../../../shared/agronomy/cover.ts';
import { closeTo } from '../../support/close-to.ts';

const full: ResidualApplication = {
  sprayedIndex: 0,
  activeFrom: 0,
  rateFraction: 1,
  halvingDays: 15,
  halfControlDose: 0.2,
  slope: 3,
  maxControl: 1,
};
const season = (...applications: ResidualApplication[]) => controlByDay(applications, new Float64Array(90));
const emergence = Float64Array.from({ length: 91 }, (_, i) => i / 90);

describe('residual cover', () => {
  it('refuses a rate above the full one, a threshold out of reach and seasons that do not match', () => {
    expect(() => coverDaysAtRate(28, 1.1, 0.5)).toThrow(/0–1/);
    expect(() => doseAtThreshold(0.2, 3, 0.98, 0.95)).toThrow(/threshold/);
    expect(() => emergenceEscapingFraction(emergence, new Float64Array(91))).toThrow(/one more/);
    expect(() => emergenceInGapsFraction(emergence, new Float64Array(91), 0.8)).toThrow(/one more/);
  });

  it('holds longest at the full rate; each halving costs H = q·D days', () => {
    expect(coverDaysAtRate(28, 1, 0.5)).toBe(28);
    expect(coverDaysAtRate(28, 0.5, 0.5)).toBe(14);
    expect(coverDaysAtRate(28, 0.25, 0.5)).toBe(0);
    expect(coverDaysAtRate(28, 0.1, 0.5)).toBe(0);
    expect(coverDaysAtRate(28, 0, 0.5)).toBe(0);
    let last = 0;
    for (let rate = 0.05; rate <= 1; rate += 0.05) {
      const days = coverDaysAtRate(28, rate, 0.5);
      expect(days >= last && days <= 28).toBe(true);
      last = days;
    }
  });

  it('holds exactly the days that it was set for, whatever slope and threshold', () => {
    for (const slope of [2, 3, 4])
      for (const threshold of [0.7, 0.8, 0.9])
        closeTo(coverDays(1, 14, halfControlDoseForCover(28, 14, slope, threshold, 0.98), slope, threshold, 0.98), 28, {
          within: 1e-9,
          because: 'rounding',
        });
  });

  it('controls nothing before activation and never more than K', () => {
    const late = season({ ...full, activeFrom: 10 });
    expect([...late.subarray(0, 10)]).toEqual(new Array(10).fill(0));
    expect(season({ ...full, activeFrom: null }).every((k) => k === 0)).toBe(true);
    expect(season({ ...full, maxControl: 0.95 }).every((k) => k < 0.95)).toBe(true);
  });

  it('never lengthens the gaps nor lets more escape with one more residual', () => {
    const one = season(full);
    const two = season(full, { ...full, sprayedIndex: 30, activeFrom: 33 });
    expect(coverGaps(two, 0.8).gapDays).toBeLessThanOrEqual(coverGaps(one, 0.8).gapDays);
    expect(emergenceEscapingFraction(emergence, two)).toBeLessThan(emergenceEscapingFraction(emergence, one));
    expect(emergenceEscapingFraction(emergence, season())).toBe(1);
  });

  it('works only on the susceptible share of a population', () => {
    expect(season({ ...full, susceptibleFraction: 0.5 })[0]!).toBeCloseTo(season(full)[0]! / 2, 12);
  });

  it('counts gap days in spells whose lengths add up', () => {
    const { gapDays, spells } = coverGaps(Float64Array.of(0, 0.9, 0.8, 0.79, 0.1, 0.9, 0), 0.8);
    expect(spells).toEqual([
      [0, 0],
      [3, 4],
      [6, 6],
    ]);
    expect(gapDays).toBe(4);
  });

  it('counts the rain of the day of spraying, takes a missing day as dry, and no rain needed as active at once', () => {
    expect(activeFromIndex([20, 13, 0], 1, 12, 14)).toBe(1);
    expect(activeFromIndex([20, NaN, 12], 1, 12, 14)).toBe(2);
    expect(activeFromIndex([0, 0], 0, 0, 14)).toBe(0);
    expect(activeFromIndex([8, 0, 8], 0, 12, 2)).toBeNull();
  });
});
