/** Harvests as problems in numbers, made up the same every time, and the answer of trying everything. */
import { type OrderProblem, type Stop, walkOrder } from '../../shared/harvest/order/order-problem.ts';

/** Numbers between 0 and 1, the same every time. */
export function draws(seed: number): () => number {
  let state = seed;
  return () => (state = (state * 48271) % 2147483647) / 2147483647;
}

/** Two kinds of seed, two kinds of clean-out, as a farm has them. */
export function invented(seed: number, fields: number, over: Partial<OrderProblem> = {}): OrderProblem {
  const draw = draws(seed);
  const places = Array.from({ length: fields + 1 }, () => [6 * draw(), 6 * draw()] as const);
  return {
    fields: Array.from({ length: fields }, () => {
      const isDirty = draw() < 0.5;
      return {
        ownSeeds: [isDirty ? 2e6 * draw() : 0, draw() < 0.3 ? 1e6 * draw() : 0],
        keptFraction: 0.4 * draw(),
        costPerSeed: [0.003 * draw(), 0.001 * draw()],
      };
    }),
    cleanOuts: [
      { removedFraction: 0.5, cost: 40 },
      { removedFraction: 0.95, cost: 300 },
    ],
    travel: places.map((from) => places.map((to) => 12 * Math.hypot(from[0] - to[0], from[1] - to[1]))),
    startSeeds: [2e5 * draw(), 0],
    returnsToStart: seed % 2 === 0,
    ...over,
  };
}

function* permutations(items: readonly number[]): Generator<number[]> {
  if (items.length === 0) yield [];
  for (const one of items) for (const rest of permutations(items.filter((it) => it !== one))) yield [one, ...rest];
}

function* choices(problem: OrderProblem, order: readonly number[]): Generator<Stop[]> {
  if (order.length === 0) return yield [];
  const settled = problem.fields[order[0]!]!.cleanOut;
  const here: Stop[] = settled === undefined ? [null, ...problem.cleanOuts.keys()] : [settled];
  for (const stop of here) for (const rest of choices(problem, order.slice(1))) yield [stop, ...rest];
}

/** Every lawful order with every set of stops. */
export function tryAll(problem: OrderProblem): number {
  let least = Infinity;
  for (const order of permutations([...problem.fields.keys()])) {
    const stage = (at: number) => problem.fields[at]!.stage ?? 0;
    if (order.some((at, step) => step > 0 && stage(order[step - 1]!) > stage(at))) continue;
    for (const stops of choices(problem, order)) least = Math.min(least, walkOrder(problem, order, stops).cost);
  }
  return least;
}
