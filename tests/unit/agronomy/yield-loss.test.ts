import { describe, expect, it } from 'vitest';
import {
  halfEffectDensityPerM2,
  lossPerPlantPercent,
  yieldLossFraction,
  yieldLossFractions,
  yieldLossOfMany,
} from '../../../shared/agronomy/yield-loss.ts';
import { closeTo } from '../../support/close-to.ts';

const rounding = { within: 1e-15, because: 'rounding' };

describe('yield loss', () => {
  it('refuses arrays that do not belong together', () => {
    expect(() => yieldLossFractions([new Float64Array(2)], [1, 2], [50], new Float64Array(2))).toThrow();
    expect(() => yieldLossFractions([new Float64Array(3)], [1], [50], new Float64Array(2))).toThrow(/length/);
  });

  it('loses nothing without weeds, half of A at A/I, and A at endless density', () => {
    expect(yieldLossFraction(0, 60)).toBe(0);
    closeTo(yieldLossFraction(12 * halfEffectDensityPerM2(12, 60), 60), 0.3, rounding);
    expect(yieldLossFraction(Infinity, 60)).toBe(0.6);
  });

  it('rises with density and stays below A', () => {
    let last = 0;
    for (let density = 0.01; density < 1e4; density *= 1.7) {
      const loss = yieldLossFraction(12 * density, 60);
      expect(loss > last && loss < 0.6).toBe(true);
      last = loss;
    }
  });

  it('counts a later weed less and an earlier one more', () => {
    expect(lossPerPlantPercent(12, 0.1, 0)).toBe(12);
    expect(lossPerPlantPercent(12, 0.1, 10)).toBeLessThan(12);
    expect(lossPerPlantPercent(12, 0.1, -5)).toBeGreaterThan(12);
  });

  it('adds the loads of several species and caps at the largest asymptote present', () => {
    const pigweed = { densityPerM2: 5, I: 12, A: 60, C: 0.1, delayDays: 0 };
    const grass = { densityPerM2: 40, I: 3, A: 90, C: 0.1, delayDays: 7 };
    const both = yieldLossOfMany([pigweed, grass]);
    closeTo(both, yieldLossFraction(60 + 120 * Math.exp(-0.7), 90), rounding);
    expect(both).toBeGreaterThan(yieldLossOfMany([pigweed]));
    expect(yieldLossOfMany([pigweed, { ...grass, densityPerM2: 0 }])).toBe(yieldLossOfMany([pigweed]));
    expect(yieldLossOfMany([grass, pigweed])).toBe(both);
  });

  it('gives each cell what the single formula gives, and leaves unknown ground unknown', () => {
    const a = Float64Array.of(0, 5, 5, NaN);
    const b = Float64Array.of(0, 0, 40, 0);
    const out = yieldLossFractions([a, b], [12, 3], [60, 90], new Float64Array(4));
    const species = (densityPerM2: number, I: number, A: number) => ({ densityPerM2, I, A, C: 0, delayDays: 0 });
    for (let cell = 0; cell < 3; cell++)
      closeTo(out[cell]!, yieldLossOfMany([species(a[cell]!, 12, 60), species(b[cell]!, 3, 90)]), rounding);
    expect(out[3]).toBeNaN();
  });
});
