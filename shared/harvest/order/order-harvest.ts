/** In which order a machine's fields cost least, and where it is cleaned out: proven where there are few fields, else bounded. */
import { exactOrder } from './exact-order.ts';
import { flatProblem } from './flat-problem.ts';
import { orderBound } from './order-bound.ts';
import { assertOrderProblem, type OrderProblem, type Stop } from './order-problem.ts';
import { SEARCH_WORK, searchOrder } from './order-search.ts';
import { tolerance } from './tolerance.ts';

export interface HarvestOrdered {
  /** Fields by their place in the problem. */
  readonly order: readonly number[];
  /** Before each field of the order. */
  readonly stops: readonly Stop[];
  readonly cost: number;
  /** No order costs less than this. */
  readonly bound: number;
  /** Proven best: the bound is the cost. */
  readonly isExact: boolean;
}

/** Up to so many fields the best order is always proven. */
export const ALWAYS_EXACT = 12;
/** With more, where no stage has more than this, it is proven within `WORK_LIMIT` labels; the core has no clock. */
export const OFTEN_EXACT = 14;
/** About half a second's work. */
export const WORK_LIMIT = 200_000;

export function orderHarvest(problem: OrderProblem, workLimit = WORK_LIMIT): HarvestOrdered {
  assertOrderProblem(problem);
  const n = problem.fields.length;
  const known = searchOrder(problem, n <= OFTEN_EXACT ? SEARCH_WORK / 8 : SEARCH_WORK);
  if (n === 0) return { ...known, bound: 0, isExact: true };
  const flat = flatProblem(problem);
  const priced = orderBound(problem, flat, known.cost);
  if (priced.bound >= known.cost - tolerance(known.cost)) return { ...known, bound: known.cost, isExact: true };
  const mostLabels = n <= ALWAYS_EXACT ? Infinity : widestStage(flat.stage) <= OFTEN_EXACT ? workLimit : 0;
  const exact = mostLabels > 0 ? exactOrder(problem, flat, known, priced, mostLabels) : null;
  if (exact) return { ...exact, bound: exact.cost, isExact: true };
  return { ...known, bound: Math.min(known.cost, priced.bound), isExact: false };
}

function widestStage(stages: Int32Array): number {
  return Math.max(...[...new Set(stages)].map((stage) => stages.filter((one) => one === stage).length));
}
