/** Sentences of the plan, made from its numbers. */
import type { BudgetPoint } from '../../../shared/analysis/budget-curve.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { fieldName, programName } from '../../../shared/model/lookups.ts';
import { AS_NOW } from '../../../shared/model/plan-edits.ts';
import type { Range } from '../../../shared/model/range.ts';
import { formatQuantity } from '../../../shared/units/format.ts';
import { shortlist } from '../../../shared/units/words.ts';
import { twoFigures } from '../../../shared/units/rough.ts';

/** "“Overlapping residuals” on Home and Corner; “Zero seed” on Tower": fields that change, by program, the most fields first. */
export function programsOnFields(farm: Farm, programs: Readonly<Record<string, string>>): string {
  const byProgram = new Map<string, string[]>();
  for (const [field, program] of Object.entries(programs)) {
    if (program === AS_NOW) continue;
    byProgram.set(program, [...(byProgram.get(program) ?? []), fieldName(farm, field)]);
  }
  return [...byProgram]
    .sort((a, b) => b[1].length - a[1].length)
    .map(([program, fields]) => `“${programName(farm, program)}” on ${shortlist(fields)}`)
    .join('; ');
}

export interface SetChange {
  readonly field: string;
  readonly from: string;
  readonly to: string;
}

/** Fields whose program differs between two sets. */
export function changesBetween(
  from: Readonly<Record<string, string>>,
  to: Readonly<Record<string, string>>,
): SetChange[] {
  return Object.keys({ ...from, ...to }).flatMap((field) => {
    const [a, b] = [from[field] ?? AS_NOW, to[field] ?? AS_NOW];
    return a === b ? [] : [{ field, from: a, to: b }];
  });
}

/** What the curve shows, as a finding; null where no budget gains anything. */
export function curveFinding(points: readonly BudgetPoint[], display: Farm['display']): string | null {
  const told = points.filter((one) => one.best !== null);
  const most = told.at(-1)?.best?.gain.central ?? 0;
  if (!(most > 0)) return null;
  // Two figures: the sets come in steps, and costs are known no better.
  const money = (value: number) => formatQuantity(twoFigures(value), 'money', display, 0);
  const reaching = (share: number) => told.find((one) => one.best!.gain.central >= share * most)!.best!.spentPerYear;
  const [half, all] = [reaching(0.5), reaching(1 - 1e-9)];
  return half >= all
    ? `About ${money(all)} a year buys all that can be gained`
    : `The first ${money(half)} or so a year bring half of what can be gained; beyond about ${money(all)} more money buys nothing`;
}

export type Trend = 'falls' | 'grows' | 'may fall or grow' | 'stays at nothing' | 'not known';

/** Where a bank goes over the years, by whether every end of its range agrees. */
export function trendOf(banks: readonly Range[]): Trend {
  const [first, last] = [banks[0], banks.at(-1)];
  if (!first || !last || first.low === null || last.low === null) return 'not known';
  if (first.high === 0 && last.high === 0) return 'stays at nothing';
  const moves = [last.low - first.low, last.central - first.central, last.high - first.high];
  if (moves.every((one) => one <= 0)) return 'falls';
  return moves.every((one) => one >= 0) ? 'grows' : 'may fall or grow';
}

/** A bank this far down counts as exhausted: survivors can restart it. */
export const EXHAUSTED_FRACTION = 0.01;

export interface Exhaustion {
  /** Springs after the first; null: not within the years shown. */
  readonly soonest: number | null;
  readonly likely: number | null;
  readonly latest: number | null;
}

/** The first spring at which a hundredth of today's bank is left, for each end of the range by itself. */
export function exhaustionOf(banks: readonly Range[]): Exhaustion {
  const springOf = (end: 'low' | 'central' | 'high') => {
    const start = banks[0]?.[end] ?? null;
    if (start === null || start === 0) return null;
    const at = banks.findIndex((one, t) => t > 0 && one[end] !== null && one[end] <= EXHAUSTED_FRACTION * start);
    return at < 0 ? null : at;
  };
  return { soonest: springOf('low'), likely: springOf('central'), latest: springOf('high') };
}

export function exhaustionInWords(banks: readonly Range[], firstSpring: number): string {
  const { soonest, likely, latest } = exhaustionOf(banks);
  const last = firstSpring + banks.length - 1;
  const year = (at: number | null) => (at === null ? `after ${last}` : String(firstSpring + at));
  if (soonest === null && likely === null && latest === null) return `not down to a hundredth by ${last}`;
  return soonest === likely && likely === latest
    ? `down to a hundredth by ${year(likely)}`
    : `down to a hundredth in ${year(soonest)} at the soonest, most likely ${year(likely)}`;
}
