import { readFileSync } from 'node:fs';
import { afterAll, describe, expect, test } from 'vitest';
import { bestStops } from '../../../shared/harvest/order/best-stops.ts';
import { assignmentBound } from '../../../shared/harvest/order/order-bound.ts';
import { orderHarvest } from '../../../shared/harvest/order/order-harvest.ts';
import { type OrderProblem, walkOrder } from '../../../shared/harvest/order/order-problem.ts';
import { searchOrder } from '../../../shared/harvest/order/order-search.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';
import { type CaseGiven, problemOf, stopsOf } from './support.ts';

interface Expected {
  optimum: number;
  order: number[];
  clean_down_before: number[];
  parts: {
    total: number;
    travel: number;
    clean_down: number;
    seed: number;
    landed_per_stop: number[];
    load_at_end: number;
  };
  lower_bound: number;
  heuristic: number;
  as_listed_best_stops: number;
  as_listed_never_clean: number;
  cost_avoided: number;
  heuristic_order: number[];
}
interface Case {
  name: string;
  title: string;
  given: CaseGiven;
  expected: Expected;
}

const { cases } = JSON.parse(readFileSync(new URL('./cases.json', import.meta.url), 'utf8')) as { cases: Case[] };
const MANY = 'forty-fields-heuristic';
const proven = cases.filter((one) => one.name !== MANY);
const because = 'sums of a few hundred products; rounding only';
const worst = { optimum: 0, bound: 0, parts: 0 };
const visited = new Set<string>();

function same(got: number, wanted: number): number {
  closeTo(got, wanted, { within: 1e-9 * Math.max(1, Math.abs(wanted)), because });
  return Math.abs(got - wanted) / Math.max(1, Math.abs(wanted));
}

const listed = (problem: OrderProblem) => [...problem.fields.keys()];

describe.each(proven)('$name: $title', ({ name, given, expected }) => {
  const problem = problemOf(given);

  test('the cheapest order costs what the outside says, and is proven', () => {
    const got = orderHarvest(problem);
    visited.add(name);
    expect(got.isExact).toBe(true);
    worst.optimum = Math.max(worst.optimum, same(got.cost, expected.optimum));
    same(walkOrder(problem, got.order, got.stops).cost, expected.optimum);
    worst.bound = Math.max(worst.bound, same(assignmentBound(problem), expected.lower_bound));
    expect(searchOrder(problem).cost).toBeGreaterThanOrEqual(expected.optimum - 1e-6);
  });

  test('the case’s own order walks to its parts: travel, clean-out, seed, what falls and what is left', () => {
    const walked = walkOrder(
      { ...problem, returnsToStart: false },
      expected.order,
      stopsOf(expected.clean_down_before),
    );
    const { parts } = expected;
    const got = [walked.cost, walked.travelCost, walked.cleanOutCost, walked.seedCost];
    [parts.total, parts.travel, parts.clean_down, parts.seed].forEach(
      (wanted, at) => (worst.parts = Math.max(worst.parts, same(got[at]!, wanted))),
    );
    walked.legs.forEach((leg, at) => same(leg.fallenSeeds[0]!, parts.landed_per_stop[at]!));
    same(walked.legs.at(-1)!.leavingSeeds[0]!, parts.load_at_end);
  });

  test('the order as listed, with its best stops and with none', () => {
    same(bestStops({ ...problem, returnsToStart: false }, listed(problem)).cost, expected.as_listed_best_stops);
    const never = walkOrder({ ...problem, returnsToStart: false }, listed(problem), []);
    same(never.cost, expected.as_listed_never_clean);
    const own = walkOrder({ ...problem, returnsToStart: false }, expected.order, stopsOf(expected.clean_down_before));
    same(never.cost - own.cost, expected.cost_avoided);
  });
});

test('forty fields: between the bound and the case’s own search, or better', () => {
  const { given, expected } = cases.find((one) => one.name === MANY)!;
  const problem = problemOf(given);
  const got = orderHarvest(problem);
  visited.add(MANY);
  expect(got.isExact).toBe(false);
  same(assignmentBound(problem), expected.lower_bound);
  expect(got.bound).toBeGreaterThan(expected.lower_bound);
  expect(got.cost).toBeGreaterThanOrEqual(got.bound);
  expect(got.cost).toBeLessThanOrEqual(expected.heuristic + 1e-6);
  same(walkOrder(problem, got.order, got.stops).cost, got.cost);
  same(bestStops(problem, expected.heuristic_order).cost, expected.heuristic);
  same(walkOrder(problem, listed(problem), []).cost, expected.as_listed_never_clean);
});

afterAll(() => {
  expect(visited.size).toBe(cases.length);
  recordAgreement('harvest-order', 'cost of the cheapest order', worst.optimum, 1e-9, 'of the cost');
  recordAgreement('harvest-order', 'lower bound', worst.bound, 1e-9, 'of the cost');
  recordAgreement('harvest-order', 'travel, clean-outs and seed of an order', worst.parts, 1e-9, 'of the cost');
});
