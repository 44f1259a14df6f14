import { describe, expect, test } from 'vitest';
import { bestStops } from '../../../shared/harvest/order/best-stops.ts';
import { exactOrder } from '../../../shared/harvest/order/exact-order.ts';
import { assignmentBound, orderBound } from '../../../shared/harvest/order/order-bound.ts';
import { orderHarvest } from '../../../shared/harvest/order/order-harvest.ts';
import { type OrderProblem, walkOrder } from '../../../shared/harvest/order/order-problem.ts';
import { cleanestFirst, searchOrder } from '../../../shared/harvest/order/order-search.ts';
import { flatProblem } from '../../../shared/harvest/order/flat-problem.ts';
import { invented, tryAll } from '../../support/invented-harvest.ts';

const total = (numbers: readonly number[]) => numbers.reduce((a, b) => a + b, 0);

const boundOf = (problem: OrderProblem) =>
  orderBound(problem, flatProblem(problem), searchOrder(problem, 2000).cost).bound;

describe('the cheapest order', () => {
  test.each([1, 2, 3, 4, 5, 6])(
    'is what trying every order with every stop finds, two kinds of seed (farm %i)',
    (seed) => {
      const problem = invented(seed, 5);
      expect(orderHarvest(problem).cost).toBeCloseTo(tryAll(problem), 7);
    },
  );

  test.each([7, 8, 9, 10])(
    'keeps its stages and a settled clean-out, and is still the best of those (farm %i)',
    (seed) => {
      const free = invented(seed, 5);
      const problem: OrderProblem = {
        ...free,
        fields: free.fields.map((one, at) => ({ ...one, stage: at % 2, ...(at === 3 ? { cleanOut: 0 } : {}) })),
      };
      const got = orderHarvest(problem);
      expect(got.cost).toBeCloseTo(tryAll(problem), 7);
      expect(got.order.map((at) => at % 2)).toEqual([0, 0, 0, 1, 1]);
      expect(got.stops[got.order.indexOf(3)]).toBe(0);
      expect(boundOf(problem)).toBeLessThanOrEqual(got.cost + 1e-9);
    },
  );

  test.each([11, 12, 13, 14])(
    'assignment ≤ bound ≤ best ≤ search ≤ as listed with best stops ≤ as listed without (farm %i)',
    (seed) => {
      const problem = invented(seed, 8);
      const listed = [...problem.fields.keys()];
      const row = [
        assignmentBound(problem),
        boundOf(problem),
        orderHarvest(problem).cost,
        searchOrder(problem).cost,
        bestStops(problem, listed).cost,
        walkOrder(problem, listed, []).cost,
      ];
      row.slice(1).forEach((cost, at) => expect(cost).toBeGreaterThanOrEqual(row[at]! - 1e-7));
    },
  );

  test('a cheaper or better clean-out never makes it dearer', () => {
    const problem = invented(21, 7);
    const withCleanOut = (removedFraction: number, cost: number) =>
      orderHarvest({ ...problem, cleanOuts: [{ removedFraction, cost }] }).cost;
    expect(withCleanOut(0.5, 60)).toBeLessThanOrEqual(withCleanOut(0.5, 90) + 1e-9);
    expect(withCleanOut(0.9, 90)).toBeLessThanOrEqual(withCleanOut(0.5, 90) + 1e-9);
    expect(orderHarvest(problem).cost).toBeLessThan(orderHarvest({ ...problem, cleanOuts: [] }).cost);
  });

  test('what fell, was taken out and is left is what the fields and the start gave, of each kind', () => {
    const problem = invented(22, 9);
    const { order, stops } = orderHarvest(problem);
    const { legs } = walkOrder(problem, order, stops);
    expect(stops.some((one) => one !== null)).toBe(true);
    for (const kind of [0, 1]) {
      const given = total(problem.fields.map((one) => one.ownSeeds[kind]!)) + problem.startSeeds[kind]!;
      const fallen = total(legs.map((leg) => leg.fallenSeeds[kind]! + leg.removedSeeds[kind]!));
      expect((fallen + legs.at(-1)!.leavingSeeds[kind]!) / given).toBeCloseTo(1, 12);
    }
  });

  test('other names for the fields change nothing', () => {
    const problem = invented(23, 8);
    const anew = [3, 0, 7, 5, 1, 6, 2, 4];
    const places = [0, ...anew.map((at) => at + 1)];
    const renamed = {
      ...problem,
      fields: anew.map((at) => problem.fields[at]!),
      travel: places.map((from) => places.map((to) => problem.travel[from]![to]!)),
    };
    expect(orderHarvest(renamed).cost).toBeCloseTo(orderHarvest(problem).cost, 7);
  });

  test('with no seed anywhere nothing is cleaned out, and the fields come as listed where ways cost nothing', () => {
    const problem = invented(24, 6);
    const none = {
      ...problem,
      fields: problem.fields.map((one) => ({ ...one, ownSeeds: [0, 0] })),
      startSeeds: [0, 0],
      travel: problem.travel.map((row) => row.map(() => 0)),
    };
    const got = orderHarvest(none);
    expect(got.stops.every((one) => one === null)).toBe(true);
    expect(got.cost).toBe(0);
    expect(got.order).toEqual([0, 1, 2, 3, 4, 5]);
  });

  test('where two orders cost the same, the cleaner field comes first', () => {
    const problem = invented(25, 6, { startSeeds: [0, 0] });
    const free = { ...problem, fields: problem.fields.map((one) => ({ ...one, costPerSeed: [0, 0] })) };
    const still = { ...free, travel: free.travel.map((row) => row.map(() => 0)) };
    expect(orderHarvest(still).order).toEqual(cleanestFirst(still));
  });

  test('an empty list is an order of nothing', () => {
    const got = orderHarvest({ ...invented(1, 0), fields: [] });
    expect(got).toMatchObject({ order: [], stops: [], cost: 0, bound: 0, isExact: true });
  });
});

describe('within a limit of work', () => {
  test('13 fields are proven or bounded, never wrong', () => {
    const problem = invented(31, 13);
    const bounded = orderHarvest(problem, 10);
    expect(bounded.isExact).toBe(false);
    expect(bounded.bound).toBeLessThanOrEqual(bounded.cost);
    const known = searchOrder(problem);
    const flat = flatProblem(problem);
    const priced = orderBound(problem, flat, known.cost);
    expect(exactOrder(problem, flat, known, priced, 10)).toBeNull();
    const proven = exactOrder(problem, flat, known, priced)!;
    expect(proven.cost).toBeLessThanOrEqual(bounded.cost + 1e-7);
    expect(proven.cost).toBeGreaterThanOrEqual(bounded.bound - 1e-7);
    expect(walkOrder(problem, proven.order, proven.stops).cost).toBeCloseTo(proven.cost, 7);
  });
});

test('what is no problem is refused before any work', () => {
  const problem = invented(41, 3);
  const with0 = (change: object) => ({
    ...problem,
    fields: problem.fields.map((one, at) => (at === 0 ? { ...one, ...change } : one)),
  });
  expect(() => orderHarvest(with0({ keptFraction: 1.2 }))).toThrow(/keeps 1.2/);
  expect(() => orderHarvest(with0({ ownSeeds: [1] }))).toThrow(/2 kinds/);
  expect(() => orderHarvest(with0({ costPerSeed: [NaN, 0] }))).toThrow(/below none/);
  expect(() => orderHarvest(with0({ cleanOut: 5 }))).toThrow(/clean-out 5/);
  expect(() => orderHarvest({ ...problem, travel: [[0]] })).toThrow(/travel/);
});
