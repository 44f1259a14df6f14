/** A good order by local search: for many fields, and as the mark that the exact program has to beat. */
import { bestStops, costBelow } from './best-stops.ts';
import { leastArc, type OrderProblem, stageOf, type Stop } from './order-problem.ts';

export interface FoundOrder {
  readonly order: number[];
  readonly stops: Stop[];
  readonly cost: number;
}

/** Fields are moved, and stretches turned, by so many places until nothing gains; only then farther. */
const NEAR = 10;
/** What was found is shaken so often, and improved again. */
const KICKS = 12;
/** With more fields than this, shaking takes too long. */
const FEW = 16;

/** Cleanest first, worst last: by stage, then by what a field's own weeds leave aboard. */
export function cleanestFirst(problem: OrderProblem): number[] {
  const own = problem.fields.map((one) => one.ownSeeds.reduce((a, b) => a + b, 0));
  return [...problem.fields.keys()].sort(
    (a, b) => stageOf(problem, a) - stageOf(problem, b) || own[a]! - own[b]! || a - b,
  );
}

/**
 * Starts from cleanest first, and from each field put where it costs least; then stretches are turned and fields moved until nothing
 * gains. Every order is valued with its best stops.
 * @source methods-season §9
 */
export function searchOrder(problem: OrderProblem): FoundOrder {
  const clean = cleanestFirst(problem);
  const found = [clean, insertedCheapest(problem, clean)].map((order) => improved(problem, order));
  let best = found.reduce((a, b) => (b.cost < a.cost - tolerance(a.cost) ? b : a));
  for (let kick = 0; problem.fields.length <= FEW && kick < KICKS; kick++) {
    const shaken = kicked(best.order, kick);
    if (!keepsStages(problem, shaken)) continue;
    const tried = improved(problem, shaken);
    if (tried.cost < best.cost - tolerance(best.cost)) best = tried;
  }
  return { ...best, stops: bestStops(problem, best.order).stops };
}

/** Costs this near are one. */
export function tolerance(cost: number): number {
  return 1e-9 * Math.max(1, Math.abs(cost));
}

function insertedCheapest(problem: OrderProblem, clean: readonly number[]): number[] {
  return clean.reduce<number[]>((order, at) => {
    const tried = Array.from({ length: order.length + 1 }, (_, place) => [
      ...order.slice(0, place),
      at,
      ...order.slice(place),
    ]);
    return leastOf(
      problem,
      tried.filter((one) => keepsStages(problem, one)),
    );
  }, []);
}

function leastOf(problem: OrderProblem, orders: readonly number[][]): number[] {
  let [best, least] = [orders[0]!, Infinity];
  for (const order of orders) {
    const { cost } = bestStops(problem, order);
    if (cost < least) [best, least] = [order, cost];
  }
  return best;
}

function improved(problem: OrderProblem, from: readonly number[]): { order: number[]; cost: number } {
  let at = { order: [...from], cost: bestStops(problem, from).cost };
  for (;;) {
    const before = at.cost;
    for (const reach of [NEAR, from.length]) at = improvedWithin(problem, at, reach);
    if (at.cost === before) return at;
  }
}

/** Two neighboring stretches change places: a move that turning and moving single fields do not make. */
function kicked(order: readonly number[], kick: number): number[] {
  const n = order.length;
  if (n < 4) return [...order];
  const long = 2 + (kick % 3);
  const a = (5 * kick) % Math.max(1, n - 2 * long);
  const [b, c] = [a + long, Math.min(n, a + 2 * long)];
  return [...order.slice(0, a), ...order.slice(b, c), ...order.slice(a, b), ...order.slice(c)];
}

function improvedWithin(
  problem: OrderProblem,
  from: { readonly order: number[]; readonly cost: number },
  reach: number,
): { order: number[]; cost: number } {
  let { order, cost } = from;
  const leastInto = leastIntoEach(problem);
  for (let a = 0; a < order.length; a++) {
    for (let b = a + 1; b < Math.min(order.length, a + reach + 1); b++) {
      for (const tried of movesOf(order, a, b)) {
        if (!keepsStages(problem, tried)) continue;
        const now = costBelow(problem, tried, { cost, leastInto });
        if (now < cost - tolerance(cost)) [order, cost] = [tried, now];
      }
    }
  }
  return { order, cost };
}

/** The stretch from a to b turned; a put behind b; b put before a. */
function movesOf(order: readonly number[], a: number, b: number): number[][] {
  const [head, stretch, tail] = [order.slice(0, a), order.slice(a, b + 1), order.slice(b + 1)];
  return [
    [...head, ...[...stretch].reverse(), ...tail],
    [...head, ...stretch.slice(1), stretch[0]!, ...tail],
    [...head, stretch.at(-1)!, ...stretch.slice(0, -1), ...tail],
  ];
}

function keepsStages(problem: OrderProblem, order: readonly number[]): boolean {
  return order.every((at, step) => step === 0 || stageOf(problem, order[step - 1]!) <= stageOf(problem, at));
}

function leastIntoEach(problem: OrderProblem): number[] {
  const places = [-1, ...problem.fields.keys()];
  return problem.fields.map((_, to) =>
    Math.min(...places.filter((from) => from !== to).map((from) => leastArc(problem, from, to))),
  );
}
