/** The set of programs that gains most within a budget: one option a zone or field. */

import { searchBestFirst } from './best-first-search.ts';
import type { SearchResult } from './best-first-search.ts';
import { LimitsRelaxation } from './limits-relaxation.ts';
import { HullRelaxation, LIMIT_SLACK } from './option-hull.ts';
import type { OptionTable } from './option-hull.ts';

export interface BudgetOption {
  readonly id: string;
  readonly gain: number;
  /** Beyond now; negative where it saves. */
  readonly cost: number;
  /** Of each further limit, in their order; what is missing is 0. */
  readonly uses?: readonly number[];
}

export interface BudgetItem {
  readonly id: string;
  /** Exactly one is taken. Give "as now" as an option of its own where nothing need be done. */
  readonly options: readonly BudgetOption[];
  /** Leaves out the option named `as-now`. */
  readonly mustTreat?: boolean;
}

export interface BudgetChoice {
  /** Id of the option taken, one an item in their order; null where nothing fits (or, if not `exact`, nothing was found). */
  readonly choice: readonly string[] | null;
  /** Of the choice; 0 where there is none. */
  readonly gain: number;
  readonly cost: number;
  /** Gain with parts of options allowed: no set gains more. Concave over budgets, unlike the optimum. */
  readonly bound: number;
  /** How far the choice may be from the best; 0 where it is proven best. */
  readonly gap: number;
  /** What taking the best gain per money first would reach. */
  readonly greedyGain: number;
  /** The search came to its end: there is no better set. */
  readonly exact: boolean;
  /** Least money that lets every item have an option; where the budget is below it, nothing fits. */
  readonly leastBudget: number;
}

export const NO_CHANGE = 'as-now';
const MOST_NODES = { oneLimit: 200_000, severalLimits: 20_000 };

/**
 * Maximises Σ gain with one option an item, Σ cost ≤ budget, and Σ use ≤ each further limit.
 * Exact by branch and bound unless the effort runs out; then the gap is told. The best sets of two budgets are not nested:
 * an item treated at one budget may drop out at a larger one.
 * @param budget money; Infinity where money is no limit
 * @param furtherLimits hours, area, product; Infinity where one is none
 * @param mostNodes effort: relaxations that may be solved
 * @throws where an item has no option, or a number is unknown
 * @source methods-season §8; reference cases `budget-optimum`
 * @cost O(items × options) a node; measured nodes: 15–200 on invented farms of 10–150 zones
 */
export function chooseWithinBudget(
  items: readonly BudgetItem[],
  budget: number,
  furtherLimits: readonly number[] = [],
  mostNodes?: number,
): BudgetChoice {
  assertItems(items, budget, furtherLimits);
  const kept = items.map((item) => undominated(item, furtherLimits.length));
  const leastBudget = kept.reduce((sum, options) => sum + Math.min(...options.map(({ cost }) => cost)), 0);
  if (leastBudget > budget + LIMIT_SLACK) {
    return { choice: null, gain: 0, cost: 0, bound: 0, gap: 0, greedyGain: 0, exact: true, leastBudget };
  }
  const table = tableOf(kept, budget, furtherLimits);
  const several = table.limits.length > 1;
  const relaxation = several ? new LimitsRelaxation(table) : new HullRelaxation(table);
  const root = relaxation.relax(new Int32Array(table.zones).fill(-1));
  const optionsOf = (zone: number) =>
    Array.from({ length: table.first[zone + 1]! - table.first[zone]! }, (_, k) => table.first[zone]! + k);
  const found: SearchResult = searchBestFirst(
    table.zones,
    optionsOf,
    (settled, cutoff) => relaxation.relax(settled, cutoff),
    mostNodes ?? (several ? MOST_NODES.severalLimits : MOST_NODES.oneLimit),
  );
  const { choice } = found;
  if (root === null || choice === null) {
    const bound = root === null ? 0 : root.bound;
    const exact = root === null || found.finished;
    return { choice: null, gain: 0, cost: 0, bound, gap: exact ? 0 : bound, greedyGain: 0, exact, leastBudget };
  }
  const taken = kept.map((options, zone) => options[choice[zone]! - table.first[zone]!]!);
  return {
    choice: taken.map(({ id }) => id),
    gain: found.gain,
    cost: taken.reduce((sum, { cost }) => sum + cost, 0),
    bound: root.bound,
    gap: found.finished ? 0 : found.provenBound - found.gain,
    greedyGain: root.choice === null ? 0 : root.gain,
    exact: found.finished,
    leastBudget,
  };
}

/** Options that no other of the item beats: cost and every use no more, gain no less. Of equals the first stays. */
function undominated({ options, mustTreat }: BudgetItem, limits: number): readonly BudgetOption[] {
  const allowed = mustTreat ? options.filter(({ id }) => id !== NO_CHANGE) : options;
  const uses = (option: BudgetOption) => [option.cost, ...limitUses(option, limits)];
  return allowed.filter((one, k) => {
    const mine = uses(one);
    return !allowed.some((other, j) => {
      if (j === k || other.gain < one.gain) return false;
      const theirs = uses(other);
      if (theirs.some((use, r) => use > mine[r]!)) return false;
      return j < k || other.gain > one.gain || theirs.some((use, r) => use < mine[r]!);
    });
  });
}

/** Flat table under the limits that are any; each zone's least use is shifted to 0, so that savings are no special case. */
function tableOf(kept: readonly (readonly BudgetOption[])[], budget: number, further: readonly number[]): OptionTable {
  const all = [budget, ...further];
  // without any limit the money stays as one that never binds
  const binding = all.flatMap((limit, r) => (limit < Infinity ? [r] : []));
  const rows = binding.length > 0 ? binding : [0];
  const first = new Int32Array(kept.length + 1);
  kept.forEach((options, zone) => (first[zone + 1] = first[zone]! + options.length));
  const count = first[kept.length]!;
  const use = new Float64Array(rows.length * count);
  const gain = Float64Array.from(kept.flat(), (option) => option.gain);
  const limits = rows.map((r, row) => {
    let limit = all[r]!;
    kept.forEach((options, zone) => {
      const needs = options.map((option) => (r === 0 ? option.cost : (option.uses?.[r - 1] ?? 0)));
      const least = Math.min(...needs);
      limit -= least;
      needs.forEach((need, k) => (use[row * count + first[zone]! + k] = need - least));
    });
    return limit < Infinity ? limit : Number.MAX_VALUE;
  });
  return { zones: kept.length, first, gain, use, limits };
}

function limitUses(option: BudgetOption, limits: number): number[] {
  return Array.from({ length: limits }, (_, r) => option.uses?.[r] ?? 0);
}

function assertItems(items: readonly BudgetItem[], budget: number, furtherLimits: readonly number[]): void {
  for (const limit of [budget, ...furtherLimits]) {
    if (Number.isNaN(limit)) throw new RangeError('chooseWithinBudget: a limit is not a number');
  }
  for (const { id, options, mustTreat } of items) {
    if (!options.some((option) => !mustTreat || option.id !== NO_CHANGE)) {
      throw new RangeError(`chooseWithinBudget: ${id} has no option`);
    }
    for (const option of options) {
      if (![option.gain, option.cost, ...(option.uses ?? [])].every(Number.isFinite)) {
        throw new RangeError(`chooseWithinBudget: ${id}, ${option.id} has an unknown gain, cost or use`);
      }
    }
  }
}
