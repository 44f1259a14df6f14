/** The study as it is printed and written: with what other yearly budgets would buy, which the page asks for by itself. */
import type { Farm } from '../model/farm.ts';
import { type Range, UNKNOWN_RANGE } from '../model/range.ts';
import { offersOf, wholeCurve } from './budget-curve.ts';
import type { Study } from './study.ts';

export interface CurvePoint {
  /** Money a year beyond current practice. */
  readonly budget: number;
  /** null where the fields that must be treated cost more than this. */
  readonly spentPerYear: number | null;
  /** Over the horizon; low and high are the sums of the fields' own ends. */
  readonly gain: Range;
  /** No set within this budget gains more. */
  readonly gainBound: number | null;
  readonly exact: boolean | null;
  /** Program by field. */
  readonly programs: Readonly<Record<string, string>>;
}

export interface PrintedStudy extends Study {
  /** In rising order of the budgets, the farm's own among them; empty where no gain can be told in money. */
  readonly budget: Study['budget'] & { readonly curve: readonly CurvePoint[] };
}

/** Points of the curve, besides the farm's own budget. */
export const CURVE_STEPS = 20;

/** @cost one branch and bound a point: of the sample 5 ms in all */
export function withCurve(study: Study, { planning }: Pick<Farm, 'planning'>): PrintedStudy {
  const offers = offersOf(study);
  const { points } =
    offers.length === 0 ? { points: [] } : wholeCurve(offers, planning.mustTreat, planning.budget, CURVE_STEPS);
  const curve = points.map(({ budget, best }): CurvePoint => ({
    budget,
    spentPerYear: best?.spentPerYear ?? null,
    gain: best?.gain ?? UNKNOWN_RANGE,
    gainBound: best?.bound ?? null,
    exact: best?.exact ?? null,
    programs: best?.programs ?? {},
  }));
  return { ...study, budget: { ...study.budget, curve } };
}
