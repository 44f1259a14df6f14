import { type BudgetPoint, type FieldOffers, wholeCurve } from '../../../shared/analysis/budget-curve.ts';
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
  return wholeCurve(offers, mustTreat, budget, STEPS);
}
