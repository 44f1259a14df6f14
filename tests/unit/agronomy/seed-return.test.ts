import { describe, expect, it } from 'vitest';
import {
  lateSeedFactor,
  retentionFraction,
  retentionOnHarvest,
  seedReturn,
  seedsFromShootMass,
  seedsPerM2,
  survivalToMaturity,
} from '../../../shared/agronomy/seed-return.ts';
import { closeTo } from '../../support/close-to.ts';

const seeds = { perPlant: 120_000, maxPerAreaM2: 300_000, retention: 0.9 };

describe('seed return', () => {
  it('refuses a retention that is no share', () => {
    expect(() => seedReturn(new Float64Array(1), { ...seeds, retention: 1.2 })).toThrow(/0–1/);
  });

  it('makes seed in proportion to few plants and never more than the area can hold', () => {
    expect(seedsPerM2(0, 120_000, 300_000)).toBe(0);
    closeTo(seedsPerM2(1e-6, 120_000, 300_000), 0.12, { within: 1e-6, because: 'crowding of a millionth' });
    let last = 0;
    for (let plants = 0.01; plants < 1e6; plants *= 3) {
      const made = seedsPerM2(plants, 120_000, 300_000);
      expect(made > last && made < 300_000).toBe(true);
      last = made;
    }
    expect(seedsPerM2(Infinity, 120_000, 300_000)).toBe(300_000);
  });

  it('keeps the late factor and the survival between 0 and 1, falling with delay, level before the crop', () => {
    for (const of of [(T: number) => lateSeedFactor(T, 0.12), (T: number) => survivalToMaturity(T, 0.104, 23.75)]) {
      expect(of(-20)).toBe(of(0));
      for (let T = 0; T < 90; T++) expect(of(T) <= 1 && of(T + 1) >= 0 && of(T + 1) < of(T)).toBe(true);
    }
    expect(lateSeedFactor(0, 0.12)).toBe(1);
  });

  it('holds all that matured until maturity, then less each day; without a date it says so', () => {
    expect(retentionFraction(-10, 0.95, 0.005)).toBe(0.95);
    expect(retentionFraction(30, 0.95, 0.005)).toBeLessThan(0.95);
    const numbers = { R0: 0.95, k: 0.005, undatedFraction: 0.75 };
    expect(retentionOnHarvest(100, null, numbers)).toEqual({ fraction: 0.75, basis: 'no date' });
    expect(retentionOnHarvest(100, 120, numbers)).toEqual({
      fraction: retentionFraction(20, 0.95, 0.005),
      basis: 'harvest date',
    });
  });

  it('splits what each cell produced into shed and standing, and leaves unknown ground unknown', () => {
    const { producedPerM2, shedBeforePerM2, standingPerM2 } = seedReturn(Float64Array.of(0, 0.5, 20, NaN), seeds);
    for (let cell = 0; cell < 3; cell++) {
      closeTo(shedBeforePerM2[cell]! + standingPerM2[cell]!, producedPerM2[cell]!, {
        within: 1e-9,
        because: 'rounding',
      });
      expect(shedBeforePerM2[cell]!).toBeGreaterThanOrEqual(0);
    }
    expect([producedPerM2[3], shedBeforePerM2[3], standingPerM2[3]]).toEqual([NaN, NaN, NaN]);
  });

  it('gives a heavier shoot more seed', () => {
    expect(seedsFromShootMass(100, 6.3, 1.14)).toBeGreaterThan(seedsFromShootMass(10, 6.3, 1.14));
  });
});
