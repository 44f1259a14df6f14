import { readFileSync } from 'node:fs';
import { afterAll, expect, test } from 'vitest';
import { chooseWithinBudget } from '../../../shared/agronomy/budget-choice.ts';
import type { BudgetChoice, BudgetItem } from '../../../shared/agronomy/budget-choice.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';

type CaseOption = { gain: number; cost: number; hours?: number; area?: number };
interface CaseAnswer {
  feasible: boolean;
  least_cost?: number;
  optimum_gain: number;
  choice: number[];
  choice_unique: boolean;
  second_best_gain: number | null;
  lp_bound: number;
  used: Record<string, number>;
  greedy_gain?: number;
}
interface Case {
  name: string;
  title: string;
  given: { zones: CaseOption[][]; limits: Record<'cost' | 'hours' | 'area', number> };
  expected: CaseAnswer & {
    rows?: { budget: number; optimum_gain: number; lp_bound: number; greedy_gain: number; choice: number[] }[];
  };
  because: string;
}

const { cases } = JSON.parse(readFileSync(new URL('./cases.json', import.meta.url), 'utf8')) as { cases: Case[] };
const worst = { optimum: 0, bound: 0, greedy: 0 };
let visited = 0;

function solve(zones: readonly CaseOption[][], limits: Partial<Record<string, number>>): BudgetChoice {
  const further = ['hours', 'area'].filter((name) => limits[name] !== undefined) as ('hours' | 'area')[];
  const items: BudgetItem[] = zones.map((options, zone) => ({
    id: `zone ${zone}`,
    options: options.map((option, k) => ({
      id: String(k),
      gain: option.gain,
      cost: option.cost,
      uses: further.map((name) => option[name] ?? 0),
    })),
  }));
  return chooseWithinBudget(
    items,
    limits['cost'] ?? Infinity,
    further.map((name) => limits[name]!),
  );
}

function compare(
  got: BudgetChoice,
  wanted: Omit<CaseAnswer, 'feasible' | 'second_best_gain' | 'choice_unique'>,
  because: string,
) {
  closeTo(got.gain, wanted.optimum_gain, { within: 1e-6, because });
  closeTo(got.bound, wanted.lp_bound, { within: 1e-6 * Math.max(1, Math.abs(wanted.lp_bound)), because });
  worst.optimum = Math.max(worst.optimum, Math.abs(got.gain - wanted.optimum_gain));
  worst.bound = Math.max(worst.bound, Math.abs(got.bound - wanted.lp_bound) / Math.max(1, Math.abs(wanted.lp_bound)));
  if (wanted.greedy_gain !== undefined) {
    closeTo(got.greedyGain, wanted.greedy_gain, { within: 1e-6, because });
    worst.greedy = Math.max(worst.greedy, Math.abs(got.greedyGain - wanted.greedy_gain));
  }
  expect(got.exact).toBe(true);
  expect(got.gap).toBe(0);
  expect(got.greedyGain).toBeLessThanOrEqual(got.gain + 1e-6);
  expect(got.gain).toBeLessThanOrEqual(got.bound + 1e-6);
}

/** What a choice of the case's option numbers gains and uses. */
function totals(zones: readonly CaseOption[][], choice: readonly number[]) {
  const sum = (of: (option: CaseOption) => number) =>
    choice.reduce((total, k, zone) => total + of(zones[zone]![k]!), 0);
  return {
    gain: sum(({ gain }) => gain),
    cost: sum(({ cost }) => cost),
    hours: sum(({ hours }) => hours ?? 0),
    area: sum(({ area }) => area ?? 0),
  };
}

for (const each of cases.filter(({ given }) => given.limits)) {
  test(`${each.name}: ${each.title}`, () => {
    const { given, expected, because } = each;
    const got = solve(given.zones, given.limits);
    if (!expected.feasible) {
      expect(got.choice).toBeNull();
      expect(got.exact).toBe(true);
      closeTo(got.leastBudget, expected.least_cost!, { within: 1e-6, because });
    } else {
      compare(got, expected, because);
      const choice = got.choice!.map(Number);
      if (expected.choice_unique) expect(choice).toEqual(expected.choice);
      const reached = totals(given.zones, choice);
      closeTo(reached.gain, got.gain, { within: 1e-6, because });
      closeTo(reached.cost, got.cost, { within: 1e-6, because });
      for (const [name, most] of Object.entries(given.limits) as ['cost' | 'hours' | 'area', number][]) {
        expect(reached[name]).toBeLessThanOrEqual(most + 1e-6);
        if (expected.choice_unique) closeTo(reached[name], expected.used[name]!, { within: 1e-6, because });
      }
    }
    visited++;
  });
}

test('the-budget-slider: optimum, bound and greedy at 21 budgets', () => {
  const { given, expected, because } = cases.find(({ name }) => name === 'the-budget-slider')!;
  const rows = expected.rows!;
  const got = rows.map((row) => solve(given.zones, { cost: row.budget }));
  rows.forEach((row, k) => {
    compare(got[k]!, { ...row, used: {} }, because);
    const reached = totals(given.zones, got[k]!.choice!.map(Number));
    expect(reached.cost).toBeLessThanOrEqual(row.budget + 1e-6);
    if (k > 0) expect(got[k]!.gain).toBeGreaterThanOrEqual(got[k - 1]!.gain - 1e-6);
    if (k > 1) {
      const bend = got[k]!.bound - 2 * got[k - 1]!.bound + got[k - 2]!.bound;
      // budgets are whole money of an even division: off by at most 1 each
      expect(bend).toBeLessThanOrEqual(20);
    }
  });
  // money does not only add: in some steps a treated zone drops out
  const drops = got
    .slice(1)
    .filter((now, k) => now.choice!.some((option, zone) => option === '0' && got[k]!.choice![zone] !== '0'));
  expect(drops).toHaveLength(9);
  visited++;
});

afterAll(() => {
  expect(visited).toBe(cases.length);
  recordAgreement('budget-optimum', 'optimum', worst.optimum, 1e-6, 'money');
  recordAgreement('budget-optimum', 'linear bound', worst.bound, 1e-6, 'relative');
  recordAgreement('budget-optimum', 'greedy', worst.greedy, 1e-6, 'money');
  console.info('budget, worst', worst);
});
