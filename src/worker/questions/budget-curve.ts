import {
  budgetCurve,
  type BudgetPoint,
  type FieldOffers,
  widestBudget,
} from '../../../shared/analysis/budget-curve.ts';
import type { OpenFarm } from '../open-farm.ts';

export interface BudgetCurveAsk {
  /** Of the study that is on the screen, so that the curve and the numbers beside it are of one piece. */
  readonly offers: readonly FieldOffers[];
  readonly mustTreat: readonly string[];
  /** A budget that shall be among them; null: none is set. */
  readonly budget: number | null;
}

export interface BudgetCurve {
  /** In rising order. */
  readonly points: readonly BudgetPoint[];
  /** End of the axis. */
  readonly widest: number;
}

const STEPS = 60;

export function budgetCurveQuestion(_open: OpenFarm, { offers, mustTreat, budget }: BudgetCurveAsk): BudgetCurve {
  const widest = widestBudget(offers, mustTreat, budget ?? 0);
  const even = Array.from({ length: STEPS + 1 }, (_, step) => (widest * step) / STEPS);
  const budgets = [...new Set(budget === null ? even : [...even, budget])].sort((a, b) => a - b);
  return { points: budgetCurve(offers, mustTreat, budgets), widest };
}
