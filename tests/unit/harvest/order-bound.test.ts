import { describe, expect, test } from 'vitest';
import { cheapestArborescence } from '../../../shared/harvest/order/arborescence.ts';
import { flatProblem } from '../../../shared/harvest/order/flat-problem.ts';
import { assignmentBound, orderBound } from '../../../shared/harvest/order/order-bound.ts';
import { orderHarvest } from '../../../shared/harvest/order/order-harvest.ts';
import type { OrderProblem } from '../../../shared/harvest/order/order-problem.ts';
import { searchOrder } from '../../../shared/harvest/order/order-search.ts';
import { draws, invented, tryAll } from '../../support/invented-harvest.ts';

/** The least over every choice of arcs that reaches all nodes from the first. */
function leastTree(cost: Float64Array, nodes: number): number {
  let least = Infinity;
  const from = new Array<number>(nodes).fill(0);
  const reaches = (node: number): boolean => {
    let [at, steps] = [node, 0];
    while (at !== 0 && steps++ <= nodes) at = from[at]!;
    return at === 0;
  };
  const choose = (node: number, sum: number): void => {
    if (node === nodes) {
      if (from.every((_, at) => reaches(at))) least = Math.min(least, sum);
      return;
    }
    for (from[node] = 0; from[node]! < nodes; from[node]!++)
      if (from[node] !== node) choose(node + 1, sum + cost[from[node]! * nodes + node]!);
  };
  choose(1, 0);
  return least;
}

test.each([1, 2, 3, 4, 5, 6, 7, 8])('the cheapest tree is what trying every tree finds (graph %i)', (seed) => {
  const draw = draws(seed);
  const nodes = 6;
  const cost = Float64Array.from({ length: nodes * nodes }, () => Math.round(20 * draw()) - 4);
  const from = cheapestArborescence(cost, nodes);
  const sum = from.reduce((all, one, node) => (node === 0 ? all : all + cost[one * nodes + node]!), 0);
  expect(sum).toBeCloseTo(leastTree(cost, nodes), 9);
  expect(from[0]).toBe(-1);
});

const boundOf = (problem: OrderProblem) =>
  orderBound(problem, flatProblem(problem), searchOrder(problem, 2000).cost).bound;

/** As an invented one, with stages, a settled clean-out, and machines that keep much or little. */
function varied(seed: number, fields: number): OrderProblem {
  const problem = invented(seed, fields);
  const keeps = [0, 0.3, 0.95][seed % 3]!;
  return {
    ...problem,
    fields: problem.fields.map((one, at) => ({
      ...one,
      keptFraction: Math.min(1, one.keptFraction + keeps),
      ...(seed % 4 === 1 ? { stage: at % 3 } : {}),
      ...(seed % 5 === 2 && at === 1 ? { cleanOut: 1 } : {}),
    })),
  };
}

describe('the bound of the cost', () => {
  test.each(Array.from({ length: 24 }, (_, k) => k + 1))(
    'is never above what trying everything finds (farm %i)',
    (seed) => {
      const problem = varied(seed, 5);
      const best = tryAll(problem);
      expect(boundOf(problem)).toBeLessThanOrEqual(best + 1e-7);
      expect(boundOf(problem)).toBeGreaterThanOrEqual(assignmentBound(problem) - 1e-7);
    },
  );

  test.each(Array.from({ length: 12 }, (_, k) => k + 101))(
    'is never above the proven cost of 12 fields (farm %i)',
    (seed) => {
      const problem = varied(seed, 12);
      const { cost, isExact } = orderHarvest(problem);
      expect(isExact).toBe(true);
      expect(boundOf(problem)).toBeLessThanOrEqual(cost + 1e-7);
    },
  );

  test('closes most of what the assignment leaves open', () => {
    const gaps = Array.from({ length: 8 }, (_, k) => {
      const problem = varied(k + 201, 11);
      const { cost } = orderHarvest(problem);
      return [cost - assignmentBound(problem), cost - boundOf(problem)] as const;
    });
    const open = gaps.reduce((sum, [one]) => sum + one, 0);
    const left = gaps.reduce((sum, [, one]) => sum + one, 0);
    expect(left).toBeLessThan(0.6 * open);
  });

  test('is told as it is for more fields than can be proven', () => {
    const problem = invented(301, 24);
    const got = orderHarvest(problem);
    expect(got.bound).toBeLessThanOrEqual(got.cost);
    expect(got.bound).toBeGreaterThan(0.9 * got.cost);
  });
});
