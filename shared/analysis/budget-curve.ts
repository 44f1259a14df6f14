/** What every yearly budget would buy: the best set of programs over a row of budgets, from the gains and costs that a study tells. */
import { type BudgetItem, chooseWithinBudget, NO_CHANGE } from '../agronomy/budget-choice.ts';
import type { Range } from '../model/range.ts';
import type { Study } from './study.ts';

export interface Offer {
  readonly program: string;
  /** Over the horizon; told in all three cases. */
  readonly gain: Range & { readonly central: number };
  /** Money a year beyond current practice, mean over the horizon. */
  readonly extraCostPerYear: number;
}

export interface FieldOffers {
  readonly field: string;
  readonly offers: readonly Offer[];
}

export interface BudgetPoint {
  readonly budget: number;
  /** null where the fields that must be treated cost more than this. */
  readonly best: {
    readonly spentPerYear: number;
    /** Central biology decides; low and high are the sums of the fields' own ends. */
    readonly gain: Range & { readonly central: number };
    /** No set within this budget gains more. */
    readonly bound: number;
    readonly gap: number;
    readonly exact: boolean;
    readonly programs: Readonly<Record<string, string>>;
  } | null;
  /** Budget below which the fields that must be treated cannot be. */
  readonly leastBudget: number;
}

/** Of the fields whose gain and cost can be told in money. */
export function offersOf(study: Pick<Study, 'fields'>): FieldOffers[] {
  return study.fields.flatMap(({ id, areaM2, rank, programs }) => {
    const nowPerHa = programs.find((one) => one.id === NO_CHANGE)?.costPerHa.central ?? null;
    if (rank === null || nowPerHa === null) return [];
    const offers = programs.flatMap(({ id: program, gain, costPerHa }): Offer[] =>
      gain.central === null || costPerHa.central === null
        ? []
        : [{ program, gain, extraCostPerYear: (costPerHa.central - nowPerHa) * (areaM2 / 10_000) }],
    );
    return offers.length > 0 ? [{ field: id, offers }] : [];
  });
}

/** Budget from which on more money buys nothing, rounded up to two figures; at least `atLeast`. */
export function widestBudget(offers: readonly FieldOffers[], mustTreat: readonly string[], atLeast: number): number {
  const [unlimited] = budgetCurve(offers, mustTreat, [Infinity]);
  const most = Math.max(unlimited?.best?.spentPerYear ?? 0, unlimited?.leastBudget ?? 0, atLeast, 1);
  const step = 10 ** (Math.floor(Math.log10(most)) - 1);
  return Math.ceil((most * 1.04) / step) * step;
}

/**
 * The curve from no budget to the one from which on more money buys nothing, in even steps.
 * @param budget one that shall be among them; null: none is set
 * @returns points in rising order, and the end of the axis
 */
export function wholeCurve(
  offers: readonly FieldOffers[],
  mustTreat: readonly string[],
  budget: number | null,
  steps: number,
): { points: readonly BudgetPoint[]; widest: number } {
  const widest = widestBudget(offers, mustTreat, budget ?? 0);
  const even = Array.from({ length: steps + 1 }, (_, step) => (widest * step) / steps);
  const budgets = [...new Set(budget === null ? even : [...even, budget])].sort((a, b) => a - b);
  return { points: budgetCurve(offers, mustTreat, budgets), widest };
}

/**
 * @param budgets money a year beyond current practice, ≥ 0; the answer keeps their order
 * @source methods-season §8: the optimum is a step function, the bound is concave; the sets of two budgets are not nested
 * @cost one branch and bound a budget
 */
export function budgetCurve(
  offers: readonly FieldOffers[],
  mustTreat: readonly string[],
  budgets: readonly number[],
): BudgetPoint[] {
  const items = offers.flatMap(({ field, offers: mine }): BudgetItem[] => {
    const must = mustTreat.includes(field) && mine.some((one) => one.program !== NO_CHANGE);
    const options = mine.map((one) => ({ id: one.program, gain: one.gain.central, cost: one.extraCostPerYear }));
    return [{ id: field, options, mustTreat: must }];
  });
  if (items.length === 0) return budgets.map((budget) => ({ budget, best: null, leastBudget: 0 }));
  return budgets.map((budget): BudgetPoint => {
    const found = chooseWithinBudget(items, budget);
    const { choice, leastBudget } = found;
    if (!choice) return { budget, best: null, leastBudget };
    const taken = offers.map(({ offers: mine }, index) => mine.find((one) => one.program === choice[index])!);
    return {
      budget,
      leastBudget,
      best: {
        spentPerYear: found.cost,
        gain: sumOfRanges(taken.map((one) => one.gain)),
        bound: found.bound,
        gap: found.gap,
        exact: found.exact,
        programs: Object.fromEntries(offers.map(({ field }, index) => [field, choice[index]!])),
      },
    };
  });
}

export function sumOfRanges(ranges: readonly (Range & { readonly central: number })[]): Range & { central: number } {
  return ranges.reduce<{ low: number; central: number; high: number }>(
    (sum, one) => ({ low: sum.low + one.low, central: sum.central + one.central, high: sum.high + one.high }),
    { low: 0, central: 0, high: 0 },
  );
}
