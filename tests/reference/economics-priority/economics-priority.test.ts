import { readFileSync } from 'node:fs';
import { afterAll, expect, test } from 'vitest';
import { presentValue, programGain, stakeOf } from '../../../shared/agronomy/economics.ts';
import type { Stake } from '../../../shared/agronomy/economics.ts';
import { orderByPriority } from '../../../shared/agronomy/priority-order.ts';
import { rankStability } from '../../../shared/agronomy/rank-stability.ts';
import { projectBanks } from '../../../shared/agronomy/seedbank-projection.ts';
import { NO_TILL } from '../../../shared/agronomy/seedbank.ts';
import { yieldLossFraction } from '../../../shared/agronomy/yield-loss.ts';
import { triangularQuantile } from '../../../shared/statistics/draws.ts';
import { quantile } from '../../../shared/statistics/quantile.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';

// eslint-disable-next-line @typescript-eslint/no-explicit-any
type Case = { name: string; title: string; given: any; expected: any; tolerance: any; because: string };
interface CaseBiology {
  g: number;
  surv: number;
  seeds: number;
  crowd: number;
  enter: number;
  i: number;
  a: number;
}
interface CaseZone {
  id: string;
  bank: number;
  area_ha: number;
}
interface CaseProgram {
  id: string;
  control: number;
  extra_per_ha: number;
  cost_per_ha: number;
}

const { cases } = JSON.parse(readFileSync(new URL('./cases.json', import.meta.url), 'utf8')) as { cases: Case[] };
const one = (name: string) => cases.find((each) => each.name === name)!;
/** Biology, economy and programs that the later cases refer to. */
const shared = one('stake-and-gain-by-zone').given as {
  zones: CaseZone[];
  programmes: CaseProgram[];
  biology: CaseBiology;
  economy: { price_per_kg: number; yield_kg_ha: number; rate: number };
  years: number;
};
const visited = new Set<string>();
let worst = 0;

function check(name: string, run: (each: Case) => void): void {
  const each = one(name);
  test(`${name}: ${each.title}`, () => {
    run(each);
    visited.add(name);
  });
}

/** Relative agreement, and half a unit of the twelfth digit: the cases' numbers are written with twelve. */
function agree(actual: number, wanted: number, { tolerance, because }: Case): void {
  const halfUnit = wanted === 0 ? 0 : 0.5 * 10 ** (Math.floor(Math.log10(Math.abs(wanted))) - 11);
  const within = (tolerance.relative as number) * Math.abs(wanted) + halfUnit;
  closeTo(actual, wanted, { within, because: `${because}; written with 12 digits` });
  if (wanted !== 0) worst = Math.max(worst, Math.abs(actual - wanted) / Math.abs(wanted));
}

function stakeUnder(bank: number, areaHa: number, biology: CaseBiology, program: CaseProgram): Stake {
  const { economy, years } = shared;
  const year = {
    cohorts: [{ share: 1, residualControl: program.control, postControl: 0, survival: 1, relativeFecundity: 1 }],
    seedsPerPlant: biology.seeds,
    crowding: biology.crowd,
    returnedFraction: 1,
    broughtInPerM2: 0,
  };
  const { plantsPerM2 } = projectBanks(Float64Array.of(bank), Array(years).fill(year), {
    emergenceFraction: biology.g,
    survivalShallow: biology.surv,
    survivalDeep: 0,
    fatalGerminationFraction: 0,
    tillage: NO_TILL,
    enteringFraction: biology.enter,
  });
  const seasons = Array.from(plantsPerM2, (density) => ({
    lossFraction: yieldLossFraction(100 * biology.i * density, 100 * biology.a),
    pricePerKg: economy.price_per_kg,
    yieldKgHa: economy.yield_kg_ha,
    extraControlPerHa: program.extra_per_ha,
  }));
  return stakeOf(areaHa, seasons, economy.rate);
}

function gainOf(bank: number, areaHa: number, biology: CaseBiology, program: CaseProgram) {
  const asNow = stakeUnder(bank, areaHa, biology, shared.programmes[0]!);
  const left = stakeUnder(bank, areaHa, biology, program);
  const costs = Array(shared.years).fill(program.cost_per_ha * areaHa);
  return { asNow, left, ...programGain(asNow, left, costs, shared.economy.rate) };
}

check('present-value', (each) => {
  agree(presentValue(each.given.flows, each.given.rate), each.expected.pv, each);
  agree(presentValue(each.given.flows, each.given.rate), each.expected.annuity_due, each);
  agree(presentValue(each.given.flows, 0), each.expected.zero_rate, each);
});

check('stake-and-gain-by-zone', (each) => {
  const best: Record<string, number> = {};
  shared.zones.forEach((zone, k) => {
    const wanted = each.expected.zones[k];
    const asNow = stakeUnder(zone.bank, zone.area_ha, shared.biology, shared.programmes[0]!);
    agree(asNow.stake, wanted.stake, each);
    agree(asNow.stake / zone.area_ha, wanted.stake_per_ha, each);
    wanted.flows_as_now.forEach((flow: number, t: number) => agree(asNow.flows[t]!, flow, each));
    closeTo(asNow.terms.yieldLoss + asNow.terms.extraControl, asNow.stake, { within: 1e-9, because: 'rounding' });
    shared.programmes.slice(1).forEach((program, p) => {
      const { left, cost, gain, terms } = gainOf(zone.bank, zone.area_ha, shared.biology, program);
      agree(left.stake, wanted.programmes[p].stake_left, each);
      agree(cost, wanted.programmes[p].cost, each);
      agree(gain, wanted.programmes[p].gain, each);
      agree(gain / cost, wanted.programmes[p].gain_per_money, each);
      const sum = Object.values(terms).reduce((a, b) => a + b, 0);
      closeTo(sum, gain, { within: 1e-9, because: 'rounding' });
      best[zone.id] = Math.max(best[zone.id] ?? -Infinity, gain);
    });
  });
  expect(Object.keys(best).sort((a, b) => best[b]! - best[a]!)).toEqual(each.expected.rank_by_best_gain);
});

check('low-central-high', (each) => {
  const twoResiduals = shared.programmes.find(({ id }) => id === 'two residuals')!;
  for (const which of ['low', 'central', 'high'] as const) {
    const biology = { ...shared.biology, ...(each.given.changes[which] ?? {}) };
    each.given.zones.forEach((zone: CaseZone, k: number) =>
      agree(gainOf(zone.bank, zone.area_ha, biology, twoResiduals).gain, each.expected[which][k], each),
    );
  }
});

/** Gain per money of every zone in every draw: draw × zones + zone. */
function drawnRatios({ given }: Case): Float64Array {
  const twoResiduals = shared.programmes.find(({ id }) => id === given.programme)!;
  const zones = given.zones as CaseZone[];
  const ratios = new Float64Array(given.u_shared.length * zones.length);
  (given.u_shared as number[][]).forEach(([g, surv, seeds], draw) => {
    const biology = {
      ...shared.biology,
      g: triangularQuantile(g!, 0.03, 0.1, 0.25),
      surv: triangularQuantile(surv!, 0.2, 0.4, 0.7),
      seeds: 10 ** (3.5 + 1.5 * seeds!),
    };
    zones.forEach((zone, k) => {
      const bank = zone.bank * 10 ** (1.6 * (given.u_by_zone[draw][k] - 0.5));
      const { gain, cost } = gainOf(bank, zone.area_ha, biology, twoResiduals);
      ratios[draw * zones.length + k] = gain / cost;
    });
  });
  return ratios;
}

check('rank-stability', (each) => {
  const zones = each.given.zones.length as number;
  const ratios = drawnRatios(each);
  for (let zone = 0; zone < zones; zone++) {
    const ofZone = ratios.filter((_, k) => k % zones === zone);
    agree(quantile(ofZone, 0.05), each.expected.q05[zone], each);
    agree(quantile(ofZone, 0.5), each.expected.median[zone], each);
    agree(quantile(ofZone, 0.95), each.expected.q95[zone], each);
  }
  const { amongFirst, meanRank } = rankStability(ratios, zones);
  const within = { within: each.tolerance.probability, because: each.because };
  for (let zone = 0; zone < zones; zone++) {
    closeTo(amongFirst[zone]!, each.expected.top1[zone], within);
    closeTo(amongFirst[zones + zone]!, each.expected.top2[zone], within);
    closeTo(amongFirst[2 * zones + zone]!, each.expected.top3[zone], within);
    closeTo(meanRank[zone]!, each.expected.mean_rank[zone], within);
  }
});

check('common-random-numbers', (each) => {
  const stability = one('rank-stability');
  const ids = (stability.given.zones as CaseZone[]).map(({ id }) => id);
  const ratios = drawnRatios(stability);
  const [first, second] = each.given.compare.map((id: string) => ids.indexOf(id)) as [number, number];
  const at = (draw: number, zone: number) => ratios[draw * ids.length + zone]!;
  const order = each.given.order_of_unpaired_draws as number[];
  agree(sd(order.map((_, draw) => at(draw, first) - at(draw, second))), each.expected.sd_paired, each);
  agree(sd(order.map((other, draw) => at(draw, first) - at(other, second))), each.expected.sd_unpaired, each);
});

check('ranking-rules', (each) => {
  const items = (each.given.zones as (PriorityCase & { area_ha: number })[]).map(({ area_ha, ...item }) => ({
    ...item,
    areaHa: area_ha,
  }));
  for (const given of [items, [...items].reverse()]) {
    const places = orderByPriority(given);
    expect(places.map(({ id }) => id)).toEqual(each.expected.by_gain_per_money);
    expect(Object.fromEntries(places.map(({ id, gainPerMoney }) => [id, gainPerMoney]))).toEqual(each.expected.ratio);
  }
});
type PriorityCase = { id: string; gain: number; cost: number; stake: number };

check('yield-loss-curve', (each) => {
  each.given.density.forEach((density: number, k: number) => {
    closeTo(yieldLossFraction(100 * each.given.i * density, 100 * each.given.a), each.expected.loss[k], {
      within: each.tolerance.absolute,
      because: each.because,
    });
  });
});

function sd(values: readonly number[]): number {
  const mean = values.reduce((a, b) => a + b, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
}

afterAll(() => {
  expect([...visited].sort()).toEqual(cases.map(({ name }) => name).sort());
  recordAgreement('economics-priority', 'stakes, gains and bands', worst, 1e-9, 'relative');
  console.info('economics and priority, worst', worst);
});
