import { readFileSync } from 'node:fs';
import { afterAll, expect, test } from 'vitest';
import {
  annualSurvivalFraction,
  bankOutlook,
  broughtInLimitPerM2,
  holdingSurvivorFraction,
  twoLayerAnnualFraction,
  wholeYearsToFraction,
  yearsToFraction,
} from '../../../shared/agronomy/seedbank-outlook.ts';
import { emptyProjection, projectBanks } from '../../../shared/agronomy/seedbank-projection.ts';
import { NO_TILL, bankYear, returnedSeedFraction } from '../../../shared/agronomy/seedbank.ts';
import type { SeedbankBiology, SeedbankYear, SeedbankYearEnd, Tillage } from '../../../shared/agronomy/seedbank.ts';
import { lognormalQuantile, pertQuantile, triangularQuantile } from '../../../shared/statistics/draws.ts';
import { quantile } from '../../../shared/statistics/quantile.ts';
import { tornado } from '../../../shared/statistics/tornado.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';

interface CaseParameters {
  emergence_fraction: number;
  survival_shallow: number;
  survival_deep: number;
  female_fraction: number;
  seeds_per_female: number;
  crowding_m2: number;
  retention_fraction: number;
  returned_of_retained: number;
  entry_survival: number;
  fatal_germination_ratio?: number;
  tillage?: Tillage;
  cohorts: {
    share: number;
    residual_control: number;
    post_control: number;
    natural_survival: number;
    relative_fecundity: number;
  }[];
}
// eslint-disable-next-line @typescript-eslint/no-explicit-any
type Case = { name: string; title: string; given: any; expected: any; tolerance: any; because: string };

const { cases } = JSON.parse(readFileSync(new URL('./cases.json', import.meta.url), 'utf8')) as { cases: Case[] };
const visited = new Set<string>();
const worst = { closed: 0, draws: 0, bands: 0 };

function check(name: string, run: (each: Case) => void): void {
  const each = cases.find((one) => one.name === name)!;
  test(`${name}: ${each.title}`, () => {
    run(each);
    visited.add(name);
  });
}

/** Relative agreement, and half a unit of the twelfth digit: the cases' numbers are written with twelve. */
function agree(
  actual: number,
  wanted: number,
  { tolerance, because }: Case,
  kind: keyof typeof worst = 'closed',
): void {
  const halfUnit = wanted === 0 ? 0 : 0.5 * 10 ** (Math.floor(Math.log10(Math.abs(wanted))) - 11);
  const within = (tolerance.relative as number) * Math.abs(wanted) + halfUnit;
  closeTo(actual, wanted, { within, because: `${because}; written with 12 digits` });
  if (wanted !== 0) worst[kind] = Math.max(worst[kind], Math.abs(actual - wanted) / Math.abs(wanted));
}

function biologyOf(p: CaseParameters): SeedbankBiology {
  return {
    emergenceFraction: p.emergence_fraction,
    survivalShallow: p.survival_shallow,
    survivalDeep: p.survival_deep,
    fatalGerminationFraction: p.fatal_germination_ratio ?? 0,
    tillage: p.tillage ?? NO_TILL,
    enteringFraction: p.entry_survival,
  };
}

function yearOf(p: CaseParameters, broughtInPerM2 = 0): SeedbankYear {
  return {
    cohorts: p.cohorts.map((cohort) => ({
      share: cohort.share,
      residualControl: cohort.residual_control,
      postControl: cohort.post_control,
      survival: cohort.natural_survival,
      relativeFecundity: cohort.relative_fecundity,
    })),
    seedsPerPlant: p.female_fraction * p.seeds_per_female,
    crowding: p.crowding_m2,
    returnedFraction: returnedSeedFraction(p.retention_fraction, p.returned_of_retained),
    broughtInPerM2,
  };
}

function project(bank: readonly [number, number], p: CaseParameters, years: number, broughtIn = 0) {
  const banks: (readonly [number, number])[] = [bank];
  const rows: SeedbankYearEnd[] = [];
  for (let t = 0; t < years; t++) {
    const end = bankYear(banks[t]!, biologyOf(p), yearOf(p, broughtIn));
    rows.push(end);
    banks.push(end.bank);
  }
  return { banks, rows };
}

function compareBanks(each: Case): SeedbankYearEnd[] {
  const { bank, parameters, years, landed_in } = each.given;
  const { banks, rows } = project(bank, parameters, years, landed_in);
  (each.expected.bank as [number, number][]).forEach((wanted, t) => {
    agree(banks[t]![0], wanted[0], each);
    agree(banks[t]![1], wanted[1], each);
  });
  // the flat form steps the same years
  const flat = projectBanks(
    Float64Array.of(bank[0], bank[0]),
    rows.map(() => yearOf(parameters, landed_in)),
    biologyOf(parameters),
    emptyProjection(2, years),
    { deepPerM2: Float64Array.of(bank[1], bank[1]) },
  );
  banks.forEach(([shallow, deep], t) => {
    closeTo(flat.shallowPerM2[2 * t + 1]!, shallow, { within: 1e-13 * shallow, because: 'factors in another order' });
    closeTo(flat.deepPerM2[2 * t]!, deep, { within: 1e-13 * deep, because: 'factors in another order' });
  });
  return rows;
}

check('no-seed-return', (each) => {
  compareBanks(each);
  agree(annualSurvivalFraction(biologyOf(each.given.parameters)), each.expected.yearly_factor, each);
});

check('years-to-run-down', (each) => {
  for (const row of each.expected.rows) {
    agree(yearsToFraction(row.yearly_factor, row.remaining_fraction), row.years, each);
    expect(wholeYearsToFraction(row.yearly_factor, row.remaining_fraction)).toBe(row.whole_years);
  }
});

check('equilibrium-one-cohort', (each) => {
  const { bank, parameters, years } = each.given;
  const { expected } = each;
  const outlook = bankOutlook(biologyOf(parameters), yearOf(parameters));
  agree(outlook.annualSurvivalFraction, expected.yearly_factor_without_return, each);
  agree(outlook.growthAtLowDensity, expected.growth_at_low_density, each);
  agree(outlook.equilibriumPerM2, expected.equilibrium_bank, each);
  agree(outlook.slopeAtEquilibrium, expected.slope_at_equilibrium, each);
  expect(Math.abs(outlook.slopeAtEquilibrium) < 1).toBe(expected.stable);
  const { banks } = project(bank, parameters, years);
  (expected.bank_by_year as number[]).forEach((wanted, t) => agree(banks[t]![0], wanted, each));
  agree(banks[years]![0], expected.bank_after_60, each);
});

check('survival-that-holds-the-bank', (each) => {
  const { given, expected } = each;
  const survivors = holdingSurvivorFraction(
    {
      emergenceFraction: given.emergence_fraction,
      survivalShallow: given.yearly_factor / (1 - given.emergence_fraction),
      survivalDeep: 0,
      fatalGerminationFraction: 0,
      tillage: NO_TILL,
      enteringFraction: given.entry_survival,
    },
    { seedsPerPlant: given.female_fraction * given.seeds_per_female, returnedFraction: given.returned_share },
  );
  agree(survivors, expected.survivor_share_of_seedlings, each);
  agree(1 - survivors, expected.control_needed, each);
});

check('complete-control-equals-no-return', (each) => void compareBanks(each));
check('ploughing-every-year', (each) => void compareBanks(each));
check('one-deep-ploughing-then-seen-again', (each) => void compareBanks(each));
check('fatal-germination', (each) => void compareBanks(each));

check('three-cohorts-no-till', (each) => {
  const rows = compareBanks(each);
  const { parameters } = each.given;
  (each.expected.rows as Record<string, number>[]).forEach((wanted, t) => {
    const got = rows[t]!;
    agree(got.emergedPerM2, wanted.emerged!, each);
    agree(got.plantsPerM2, wanted.plants!, each);
    agree(got.producedPerM2, wanted.produced!, each);
    agree(got.landedPerM2, wanted.landed!, each);
    agree(got.landedPerM2 * parameters.entry_survival, wanted.entering!, each);
    agree(got.producedPerM2 * (1 - parameters.retention_fraction), wanted.shed!, each);
    const byCohort = wanted.plants_by_cohort as unknown as number[];
    const effective = byCohort.reduce((x, n, c) => x + n * parameters.cohorts[c].relative_fecundity, 0);
    agree(got.effectivePlantsPerM2, effective, each);
    yearOf(parameters).cohorts.forEach((cohort, c) => {
      const alone =
        got.emergedPerM2 * cohort.share * (1 - cohort.residualControl) * (1 - cohort.postControl) * cohort.survival;
      agree(alone, byCohort[c]!, each);
    });
  });
});

check('two-layers-no-return', (each) => {
  const { bank, parameters, years } = each.given;
  agree(twoLayerAnnualFraction(biologyOf(parameters)), each.expected.eigenvalue, each);
  const { banks } = project(bank, parameters, years);
  [1, 2, 5, 10, 40].forEach((t, k) => {
    agree(banks[t]![0], each.expected.bank_after[k][0], each);
    agree(banks[t]![1], each.expected.bank_after[k][1], each);
  });
});

check('seed-carried-in-every-year', (each) => {
  compareBanks(each);
  agree(broughtInLimitPerM2(biologyOf(each.given.parameters), each.given.landed_in), each.expected.limit, each);
});

check('triangular', (each) => {
  const { low, mode, high, u } = each.given;
  u.forEach((draw: number, k: number) => agree(triangularQuantile(draw, low, mode, high), each.expected.x[k], each));
  // the mean over a fine even grid of draws is the distribution's
  const mean = meanOf((draw) => triangularQuantile(draw, low, mode, high));
  closeTo(mean, each.expected.mean, { within: 1e-4, because: 'midpoint rule over 20 000 draws' });
  const variance = meanOf((draw) => (triangularQuantile(draw, low, mode, high) - mean) ** 2);
  closeTo(variance, each.expected.variance, { within: 1e-3, because: 'midpoint rule over 20 000 draws' });
});

check('pert', (each) => {
  const { low, mode, high, u } = each.given;
  u.forEach((draw: number, k: number) => {
    const x = pertQuantile(draw, low, mode, high);
    closeTo(x, each.expected.x[k], { within: each.tolerance.absolute, because: each.because });
    worst.draws = Math.max(worst.draws, Math.abs(x - each.expected.x[k]));
  });
  const mean = meanOf((draw) => pertQuantile(draw, low, mode, high), 2000);
  closeTo(mean, each.expected.mean, { within: 1e-3, because: 'midpoint rule over 2000 draws' });
});

check('lognormal', (each) => {
  const { p05, p95, u } = each.given;
  u.forEach((draw: number, k: number) => agree(lognormalQuantile(draw, p05, p95), each.expected.x[k], each, 'draws'));
  agree(lognormalQuantile(0.5, p05, p95), each.expected.median, each, 'draws');
  // one standard deviation up, by Φ(1) (memory)
  agree(Math.log(lognormalQuantile(0.8413447460685429, p05, p95)), each.expected.log_sd, each, 'draws');
});

check('percentiles', (each) => {
  each.given.q.forEach((q: number, k: number) => agree(quantile(each.given.x, q), each.expected.value[k], each));
});

check('two-programmes-common-draws', (each) => {
  const { u, years, bank, base } = each.given as {
    u: number[][];
    years: number;
    bank: [number, number];
    base: CaseParameters;
  };
  const better = (p: CaseParameters): CaseParameters => ({
    ...p,
    cohorts: p.cohorts.map((cohort) => ({
      ...cohort,
      residual_control: Math.min(0.98, cohort.residual_control + 0.08),
      post_control: cohort.post_control ? 0.95 : 0,
    })),
  });
  const drawn = u.map(([a, b, c, d]): CaseParameters => ({
    ...base,
    emergence_fraction: triangularQuantile(a!, 0.03, 0.1, 0.25),
    survival_shallow: pertQuantile(b!, 0.2, 0.4, 0.7),
    seeds_per_female: lognormalQuantile(c!, 20000, 600000),
    entry_survival: triangularQuantile(d!, 0.2, 0.5, 0.8),
  }));
  const asNow = drawn.map((p) => project(bank, p, years).banks.map(([shallow]) => shallow));
  const improved = drawn.map((p) => project(bank, better(p), years).banks.map(([shallow]) => shallow));
  for (let t = 0; t <= years; t++) {
    (each.expected.q as number[]).forEach((q, k) => {
      agree(
        quantile(
          asNow.map((banks) => banks[t]!),
          q,
        ),
        each.expected.base[t][k],
        each,
        'bands',
      );
      agree(
        quantile(
          improved.map((banks) => banks[t]!),
          q,
        ),
        each.expected.better[t][k],
        each,
        'bands',
      );
    });
  }
  const last = (banks: number[]) => Math.log10(banks[years]!);
  expect(improved.filter((banks, k) => last(banks) < last(asNow[k]!)).length / u.length).toBe(
    each.expected.share_of_draws_better_is_lower,
  );
  const before = (k: number) => improved[(k + u.length - 1) % u.length]!;
  agree(sd(asNow.map((banks, k) => last(banks) - last(improved[k]!))), each.expected.sd_log10_paired, each, 'bands');
  agree(sd(asNow.map((banks, k) => last(banks) - last(before(k)))), each.expected.sd_log10_unpaired, each, 'bands');
});

check('tornado', (each) => {
  const { bank, base, ranges, years } = each.given;
  const central = Object.fromEntries(Object.keys(ranges).map((name) => [name, base[name] as number]));
  const { central: middle, rows } = tornado(
    central,
    ranges as Record<string, [number, number]>,
    (moved) => project(bank, { ...base, ...moved }, years).banks[years]![0],
  );
  agree(middle, each.expected.central, each);
  expect(rows.map(({ parameter }) => parameter)).toEqual(
    each.expected.rows.map(({ parameter }: { parameter: string }) => parameter),
  );
  rows.forEach((row, k) => {
    agree(row.low, each.expected.rows[k].low, each);
    agree(row.high, each.expected.rows[k].high, each);
  });
});

function meanOf(value: (draw: number) => number, draws = 20_000): number {
  let total = 0;
  for (let k = 0; k < draws; k++) total += value((k + 0.5) / draws);
  return total / draws;
}

function sd(values: readonly number[]): number {
  const mean = values.reduce((a, b) => a + b, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
}

afterAll(() => {
  expect([...visited].sort()).toEqual(cases.map(({ name }) => name).sort());
  recordAgreement('seedbank', 'closed forms and projections', worst.closed, 1e-9, 'relative');
  recordAgreement('seedbank', 'draws', worst.draws, 1e-7, 'relative');
  recordAgreement('seedbank', 'bands of 64 draws', worst.bands, 1e-6, 'relative');
  console.info('seedbank, worst', worst);
});
