import { describe, expect, test } from 'vitest';
import { budgetCurve, type FieldOffers, offersOf, widestBudget } from '../../../shared/analysis/budget-curve.ts';
import { planTotals } from '../../../shared/analysis/plan-totals.ts';
import type { PrintedStudy } from '../../../shared/analysis/printed-study.ts';
import { hostWithFarm, furnish } from '../../support/small-farm-host.ts';
import { closeTo } from '../../support/close-to.ts';

const offer = (program: string, gain: number, extraCostPerYear: number) => ({
  program,
  gain: { low: gain / 2, central: gain, high: gain * 3 },
  extraCostPerYear,
});
const now = offer('as-now', 0, 0);
const offers: FieldOffers[] = [
  { field: 'a', offers: [now, offer('one', 100, 10), offer('two', 130, 25)] },
  { field: 'b', offers: [now, offer('one', 60, 8)] },
  { field: 'c', offers: [now, offer('one', -5, 12)] },
];

describe('the curve over budgets', () => {
  const points = budgetCurve(offers, [], [0, 8, 10, 18, 25, 33, 1000]);
  test('never falls, keeps to its budget, and lies under its bound', () => {
    let last = -Infinity;
    for (const { budget, best } of points) {
      expect(best!.gain.central).toBeGreaterThanOrEqual(last);
      expect(best!.spentPerYear).toBeLessThanOrEqual(budget);
      expect(best!.bound).toBeGreaterThanOrEqual(best!.gain.central - 1e-9);
      last = best!.gain.central;
    }
  });
  test('takes what gains most: by hand', () => {
    expect(points.map((one) => one.best!.gain.central)).toEqual([0, 60, 100, 160, 160, 190, 190]);
    expect(points[3]!.best!.programs).toEqual({ a: 'one', b: 'one', c: 'as-now' });
    expect(points[3]!.best!.gain).toEqual({ low: 80, central: 160, high: 480 });
  });
  test('a field that must be treated is, and below what that costs nothing fits: the least budget is told', () => {
    const [short, enough] = budgetCurve(offers, ['c'], [11, 12]);
    expect(short).toEqual({ budget: 11, best: null, leastBudget: 12 });
    expect(enough!.best!.programs).toEqual({ a: 'as-now', b: 'as-now', c: 'one' });
  });
  test('the axis ends where more money buys nothing', () => {
    expect(widestBudget(offers, [], 0)).toBeGreaterThanOrEqual(33);
    expect(widestBudget(offers, [], 0)).toBeLessThan(40);
    expect(widestBudget(offers, [], 500)).toBeGreaterThanOrEqual(500);
  });
});

test('a plan’s sums: nothing chosen is as now, and what cannot be told is named', () => {
  const choice = (field: string, program: string) => ({ season: 2027, target: { field }, program, rates: [] });
  const plan = [choice('a', 'two'), choice('b', 'as-now'), choice('d', 'one'), { ...choice('b', 'one'), season: 2026 }];
  expect(planTotals(offers, plan, 2027, ['a', 'b', 'c', 'd'])).toEqual({
    programs: { a: 'two', b: 'as-now', d: 'one' },
    gain: { low: 65, central: 130, high: 390 },
    extraCostPerYear: 25,
    untold: ['d'],
  });
});

test('at the farm’s own budget the curve is the study’s best set', () => {
  const host = hostWithFarm('farm');
  furnish(host, 'farm');
  // Programs of a new farm have no cost; here they get one, so that money can be compared.
  const farm = JSON.parse(host.text('farm/farm.json')) as {
    programs: { id: string; passes: { costPerHa: number | null }[] }[];
    planning: { budget: number };
  };
  farm.programs.forEach((program, index) => program.passes.forEach((pass) => (pass.costPerHa = 30 + 7 * index)));
  farm.planning.budget = 400;
  host.put('farm/farm.json', JSON.stringify(farm));
  const study = host.json<PrintedStudy>('study', 'farm');
  const [point] = budgetCurve(offersOf(study), [], [400]);
  const told = study.budget.curve.find((one) => one.budget === 400)!;
  expect(told.programs).toEqual(point!.best!.programs);
  expect(told).toMatchObject({ spentPerYear: point!.best!.spentPerYear, gain: point!.best!.gain });
  const budgets = study.budget.curve.map((one) => one.budget);
  expect(budgets).toEqual([...budgets].sort((a, b) => a - b));
  expect(budgets).toHaveLength(22);
  expect(host.run('study', 'farm').out).toMatch(/What other yearly budgets would buy[^]*now set \$400 +\$/);
  expect(study.budget.gain).not.toBeNull();
  const same = { within: 1e-6, because: 'the same options in another order of sums' };
  closeTo(point!.best!.gain.central, study.budget.gain!, same);
  closeTo(point!.best!.spentPerYear, study.budget.spentPerYear!, same);
  const chosen = study.fields.filter((one) => one.chosenProgram !== null);
  expect(Object.fromEntries(chosen.map((one) => [one.id, one.chosenProgram]))).toEqual(point!.best!.programs);
});
