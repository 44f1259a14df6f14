/** What a plan gains and costs beside current practice, summed over its fields. */
import type { Choice } from '../model/farm.ts';
import { AS_NOW, choiceOf } from '../model/plan-edits.ts';
import type { Range } from '../model/range.ts';
import { type FieldOffers, sumOfRanges } from './budget-curve.ts';

export interface PlanTotals {
  /** Program by field; fields without a choice go on as now and are left out. */
  readonly programs: Readonly<Record<string, string>>;
  /** Over the horizon; low and high are the sums of the fields' own ends. */
  readonly gain: Range & { readonly central: number };
  readonly extraCostPerYear: number;
  /** Fields with another program than now whose gain or cost cannot be told: they are in neither sum. */
  readonly untold: readonly string[];
}

export function planTotals(
  offers: readonly FieldOffers[],
  plan: readonly Choice[],
  season: number,
  fields: readonly string[],
): PlanTotals {
  const chosen = fields.flatMap((field) => {
    const choice = choiceOf(plan, season, field);
    return choice ? [{ field, program: choice.program }] : [];
  });
  const priced = chosen.map(({ field, program }) => ({
    field,
    program,
    offer: offers.find((one) => one.field === field)?.offers.find((one) => one.program === program) ?? null,
  }));
  const told = priced.flatMap((one) => one.offer ?? []);
  return {
    programs: Object.fromEntries(chosen.map(({ field, program }) => [field, program])),
    gain: sumOfRanges(told.map((one) => one.gain)),
    extraCostPerYear: told.reduce((sum, one) => sum + one.extraCostPerYear, 0),
    untold: priced.filter((one) => !one.offer && one.program !== AS_NOW).map((one) => one.field),
  };
}
