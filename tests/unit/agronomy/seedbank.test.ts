import { describe, expect, test } from 'vitest';
import {
  annualSurvivalFraction,
  bankOutlook,
  survivalFromAnnual,
  yearsToFraction,
} from '../../../shared/agronomy/seedbank-outlook.ts';
import { emptyProjection, projectBanks } from '../../../shared/agronomy/seedbank-projection.ts';
import { NO_TILL, bankYear } from '../../../shared/agronomy/seedbank.ts';
import type { SeedbankBiology, SeedbankYear } from '../../../shared/agronomy/seedbank.ts';
import { closeTo } from '../../support/close-to.ts';

const biology: SeedbankBiology = {
  emergenceFraction: 0.08,
  survivalShallow: 0.49,
  survivalDeep: 0.6,
  fatalGerminationFraction: 0,
  tillage: NO_TILL,
  enteringFraction: 0.5,
};
const year: SeedbankYear = {
  cohorts: [
    { share: 0.5, residualControl: 0.9, postControl: 0.9, survival: 0.8, relativeFecundity: 1 },
    { share: 0.5, residualControl: 0.5, postControl: 0.8, survival: 0.4, relativeFecundity: 0.1 },
  ],
  seedsPerPlant: 100_000,
  crowding: 0.5,
  returnedFraction: 0.9,
  broughtInPerM2: 0,
};
const better: SeedbankYear = {
  ...year,
  cohorts: year.cohorts.map((cohort) => ({ ...cohort, postControl: 0.99 })),
};

describe('refuses', () => {
  test.each<[string, Partial<SeedbankBiology>, Partial<SeedbankYear>, RegExp]>([
    ['a survival above 1', { survivalShallow: 1.2 }, {}, /survivalShallow is 1\.2/],
    ['more germination than seed', { emergenceFraction: 0.4, fatalGerminationFraction: 2 }, {}, /germinates/],
    [
      'tillage that makes seed',
      {
        tillage: [
          [0.5, 0.5],
          [0.6, 0.5],
        ],
      },
      {},
      /1\.1/,
    ],
    ['cohorts that are not the whole', {}, { cohorts: year.cohorts.slice(1) }, /add to 0\.5/],
    ['a negative seed rain', {}, { broughtInPerM2: -1 }, /broughtInPerM2/],
  ])('%s', (_, wrongBiology, wrongYear, message) => {
    const b = { ...biology, ...wrongBiology };
    const y = { ...year, ...wrongYear };
    expect(() => bankYear([10, 0], b, y)).toThrow(message);
    expect(() => projectBanks(Float64Array.of(10), [y], b)).toThrow(message);
  });

  test('room of another size', () => {
    expect(() => projectBanks(Float64Array.of(1, 2), [year], biology, emptyProjection(1, 1))).toThrow(/1 × 1/);
  });
});

test('an empty bank with nothing brought in stays empty', () => {
  expect(bankYear([0, 0], biology, year).bank).toEqual([0, 0]);
});

describe('laws', () => {
  test('no bank is negative and better control never leaves a larger one', () => {
    const start = Float64Array.from({ length: 40 }, (_, k) => (k === 0 ? 0 : 10 ** (k / 5 - 3)));
    const now = projectBanks(start, Array(10).fill(year), biology);
    const less = projectBanks(start, Array(10).fill(better), biology);
    expect(Math.min(...now.shallowPerM2)).toBe(0);
    less.shallowPerM2.forEach((bank, k) => expect(bank).toBeLessThanOrEqual(now.shallowPerM2[k]!));
  });

  test('tillage moves seed between the layers and keeps the sum', () => {
    const { bank: still } = bankYear([300, 500], biology, year);
    const { bank: turned } = bankYear([300, 500], biology, {
      ...year,
      tillage: [
        [0.1, 0.8],
        [0.9, 0.2],
      ],
    });
    closeTo(turned[0] + turned[1], still[0] + still[1], { within: 1e-9, because: 'rounding' });
    expect(turned[1]).toBeGreaterThan(still[1]);
  });

  test('a bank at its equilibrium stays, one below rises to it without overshoot', () => {
    const { equilibriumPerM2, slopeAtEquilibrium } = bankOutlook(biology, year);
    closeTo(bankYear([equilibriumPerM2, 0], biology, year).bank[0], equilibriumPerM2, {
      within: 1e-9 * equilibriumPerM2,
      because: 'rounding',
    });
    const { shallowPerM2 } = projectBanks(Float64Array.of(1), Array(60).fill(year), biology);
    shallowPerM2.forEach((bank, t) => {
      if (t > 0) expect(bank).toBeGreaterThanOrEqual(shallowPerM2[t - 1]! * (1 - 1e-15));
      expect(bank).toBeLessThanOrEqual(equilibriumPerM2 * (1 + 1e-12));
    });
    expect(slopeAtEquilibrium).toBeGreaterThan(annualSurvivalFraction(biology));
  });

  test('seed brought in to each class in year 0 lands beside what returns', () => {
    const own = projectBanks(Float64Array.of(5, 5), [year], biology, undefined, {
      broughtInPerM2: Float64Array.of(0, 40),
    });
    closeTo(own.shallowPerM2[3]! - own.shallowPerM2[2]!, 20, { within: 1e-9, because: 'u = 0.5 of 40' });
  });

  test('room is used again without traces', () => {
    const room = emptyProjection(2, 3);
    const years = [year, better, year];
    const first = projectBanks(Float64Array.of(5, 50), years, biology, room).shallowPerM2.slice();
    projectBanks(Float64Array.of(1e4, 1e6), years, biology, room, { deepPerM2: Float64Array.of(9, 9) });
    expect(projectBanks(Float64Array.of(5, 50), years, biology, room).shallowPerM2).toEqual(first);
  });
});

describe('odd cases', () => {
  test('an unknown bank stays unknown and touches no other', () => {
    const { shallowPerM2 } = projectBanks(Float64Array.of(NaN, 3), [year, year], biology);
    expect(shallowPerM2[4]).toBeNaN();
    expect(shallowPerM2[5]).toBeGreaterThan(0);
    expect(bankYear([NaN, 0], biology, year).producedPerM2).toBeNaN();
  });

  test('the survival of seed is taken out of a yearly factor that counts emergence', () => {
    const survivalShallow = survivalFromAnnual(0.45, biology);
    closeTo(annualSurvivalFraction({ ...biology, survivalShallow }), 0.45, { within: 1e-15, because: 'its inverse' });
    expect(() => survivalFromAnnual(0.95, biology)).toThrow(/0\.92/);
  });

  test('a bank that cannot grow has no equilibrium above nothing', () => {
    const outlook = bankOutlook(biology, { ...year, seedsPerPlant: 1 });
    expect(outlook.equilibriumPerM2).toBe(0);
    expect(outlook.slopeAtEquilibrium).toBeNaN();
    expect(outlook.growthAtLowDensity).toBeLessThan(1);
  });

  test('run-down has its ends: at once, and never', () => {
    expect(yearsToFraction(0.5, 1)).toBe(0);
    expect(yearsToFraction(1, 0.5)).toBe(Infinity);
    expect(() => yearsToFraction(0.5, 0)).toThrow();
  });
});
