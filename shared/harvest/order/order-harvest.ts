/** In which order a machine's fields cost least, and where it is cleaned out: proven where there are few fields, else bounded. */
import { exactOrder } from './exact-order.ts';
import { orderBound } from './order-bound.ts';
import { assertOrderProblem, type OrderProblem, type Stop } from './order-problem.ts';
import { searchOrder } from './order-search.ts';

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
/** Up to so many it is proven within `WORK_LIMIT` labels; the core has no clock. */
export const OFTEN_EXACT = 14;
/** About a second's work. */
export const WORK_LIMIT = 400_000;

export function orderHarvest(problem: OrderProblem, workLimit = WORK_LIMIT): HarvestOrdered {
  assertOrderProblem(problem);
  const known = searchOrder(problem);
  const n = problem.fields.length;
  const exact = n <= OFTEN_EXACT ? exactOrder(problem, known, n <= ALWAYS_EXACT ? Infinity : workLimit) : null;
  if (exact) return { ...exact, bound: exact.cost, isExact: true };
  return { ...known, bound: Math.min(known.cost, orderBound(problem)), isExact: false };
}
