import { describe, expect, test } from 'vitest';
import { chooseWithinBudget } from '../../../shared/agronomy/budget-choice.ts';
import type { BudgetItem, BudgetOption } from '../../../shared/agronomy/budget-choice.ts';
import { closeTo } from '../../support/close-to.ts';

const cents = { within: 1e-6, because: 'sums of cents' };
const now: BudgetOption = { id: 'as-now', gain: 0, cost: 0 };
const item = (id: string, ...options: BudgetOption[]): BudgetItem => ({ id, options });

/** A draw in [0, 1) that is the same everywhere. */
function draws(seed: number): () => number {
  let k = seed * 1009;
  return () => {
    let z = Math.imul(++k, 0x9e3779b9);
    z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
    z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
    return ((z ^ (z >>> 16)) >>> 0) / 2 ** 32;
  };
}

/** Zones with savings, losses, ties and options below the hull. */
function farm(seed: number, zones: number, limits: number): BudgetItem[] {
  const draw = draws(seed);
  return Array.from({ length: zones }, (_, zone) => ({
    id: `zone ${zone}`,
    options: Array.from({ length: 2 + Math.floor(3 * draw()) }, (__, k) => ({
      id: k === 0 ? 'as-now' : `program ${k}`,
      gain: k === 0 ? 0 : Math.round(100 * (300 * draw() - 40)) / 100,
      cost: k === 0 ? 0 : Math.round(120 * draw() - 15),
      uses: Array.from({ length: limits }, () => (k === 0 ? 0 : Math.round(20 * draw()) / 4)),
    })),
  }));
}

function bruteForce(items: readonly BudgetItem[], budget: number, limits: readonly number[]): number {
  let best = -Infinity;
  const walk = (zone: number, gain: number, cost: number, used: readonly number[]) => {
    if (zone === items.length) {
      if (cost <= budget + 1e-9 && used.every((use, r) => use <= limits[r]! + 1e-9)) best = Math.max(best, gain);
      return;
    }
    for (const option of items[zone]!.options) {
      walk(
        zone + 1,
        gain + option.gain,
        cost + option.cost,
        used.map((use, r) => use + (option.uses?.[r] ?? 0)),
      );
    }
  };
  walk(
    0,
    0,
    0,
    limits.map(() => 0),
  );
  return best;
}

describe('refuses', () => {
  test('an item without an option, and one that must be treated but has only no change', () => {
    expect(() => chooseWithinBudget([item('north')], 10)).toThrow(/north has no option/);
    expect(() => chooseWithinBudget([{ ...item('north', now), mustTreat: true }], 10)).toThrow(/north has no option/);
  });
  test('unknown gains and limits', () => {
    expect(() => chooseWithinBudget([item('north', { ...now, gain: NaN })], 10)).toThrow(/north, as-now/);
    expect(() => chooseWithinBudget([item('north', now)], NaN)).toThrow(/limit/);
  });
});

test('a farm without items has an empty choice', () => {
  expect(chooseWithinBudget([], 100)).toMatchObject({ choice: [], gain: 0, cost: 0, exact: true });
});

describe('against every choice there is', () => {
  test.each(Array.from({ length: 40 }, (_, seed) => seed + 1))('one limit, farm %i', (seed) => {
    const items = farm(seed, 6, 0);
    for (const budget of [-20, 0, 55, 140, 1e6]) {
      const wanted = bruteForce(items, budget, []);
      const got = chooseWithinBudget(items, budget);
      if (wanted === -Infinity) {
        expect(got.choice).toBeNull();
        expect(got.leastBudget).toBeGreaterThan(budget);
        continue;
      }
      closeTo(got.gain, wanted, cents);
      expect(got.exact).toBe(true);
      expect(got.greedyGain).toBeLessThanOrEqual(got.gain + 1e-6);
      expect(got.bound).toBeGreaterThanOrEqual(got.gain - 1e-6);
    }
  });

  test.each(Array.from({ length: 40 }, (_, seed) => seed + 100))('three limits, farm %i', (seed) => {
    const items = farm(seed, 6, 2);
    for (const [budget, hours, area] of [
      [0, 0, 0],
      [90, 8, 9],
      [200, 5, 20],
      [Infinity, 6, 6],
      [60, Infinity, 11],
      [Infinity, Infinity, Infinity],
    ] as const) {
      const wanted = bruteForce(items, budget, [hours, area]);
      const got = chooseWithinBudget(items, budget, [hours, area]);
      closeTo(got.gain, wanted, cents);
      expect(got.exact).toBe(true);
      expect(got.bound).toBeGreaterThanOrEqual(got.gain - 1e-6);
    }
  });
});

describe('laws', () => {
  const items = farm(7, 40, 2);

  test('more money or hours never gain less, nor does one more option', () => {
    let before = -Infinity;
    for (let budget = 0; budget <= 1500; budget += 100) {
      const { gain, exact } = chooseWithinBudget(items, budget, [60, 50]);
      expect(exact).toBe(true);
      expect(gain).toBeGreaterThanOrEqual(before - 1e-6);
      before = gain;
    }
    const tight = chooseWithinBudget(items, 500, [40, 50]);
    expect(chooseWithinBudget(items, 500, [50, 50]).gain).toBeGreaterThanOrEqual(tight.gain - 1e-6);
    const more = items.map((one, k) =>
      k === 3 ? { ...one, options: [...one.options, { id: 'new', gain: 250, cost: 5, uses: [1, 1] }] } : one,
    );
    expect(chooseWithinBudget(more, 500, [40, 50]).gain).toBeGreaterThanOrEqual(tight.gain - 1e-6);
  });

  test('the order of zones and options does not matter', () => {
    const turned = [...items].reverse().map((one) => ({ ...one, options: [...one.options].reverse() }));
    closeTo(chooseWithinBudget(turned, 500).gain, chooseWithinBudget(items, 500).gain, cents);
    closeTo(chooseWithinBudget(turned, 500, [40, 50]).gain, chooseWithinBudget(items, 500, [40, 50]).gain, cents);
  });

  test('all costs and the budget times k change nothing', () => {
    for (const k of [0.01, 37]) {
      const times = items.map((one) => ({
        ...one,
        options: one.options.map((option) => ({ ...option, cost: k * option.cost })),
      }));
      closeTo(chooseWithinBudget(times, 500 * k).gain, chooseWithinBudget(items, 500).gain, cents);
    }
  });
});

describe('odd cases', () => {
  test('a saving pays for another zone', () => {
    const saver = item('south', now, { id: 'less', gain: -5, cost: -40 });
    const dear = item('north', now, { id: 'more', gain: 100, cost: 40 });
    expect(chooseWithinBudget([saver, dear], 0)).toMatchObject({ choice: ['less', 'more'], gain: 95, cost: 0 });
  });

  test('a zone that must be treated is, and says how much money that takes', () => {
    const must = { ...item('north', now, { id: 'one', gain: -10, cost: 50 }), mustTreat: true };
    expect(chooseWithinBudget([must], 60).choice).toEqual(['one']);
    expect(chooseWithinBudget([must], 40)).toMatchObject({ choice: null, leastBudget: 50, exact: true });
  });

  test('limits that nothing can keep give no choice, and say so', () => {
    const both = item('north', { id: 'a', gain: 1, cost: 1, uses: [9] }, { id: 'b', gain: 2, cost: 9, uses: [1] });
    const got = chooseWithinBudget([both, both], 10, [5]);
    expect(got).toMatchObject({ choice: null, exact: true });
    expect(got.leastBudget).toBe(2);
  });

  test('out of effort, the answer fits and its gap is told', () => {
    const items = farm(11, 60, 0).map((one) => ({
      ...one,
      // gain nearly in proportion to cost: hard for the bound
      options: one.options.map((option) => ({ ...option, gain: option.cost > 0 ? option.cost * 3 + 7 : 0 })),
    }));
    const rushed = chooseWithinBudget(items, 777, [], 1);
    const whole = chooseWithinBudget(items, 777);
    expect(rushed.exact).toBe(false);
    expect(rushed.cost).toBeLessThanOrEqual(777 + 1e-6);
    expect(rushed.gap).toBeGreaterThan(0);
    expect(rushed.gain + rushed.gap).toBeGreaterThanOrEqual(whole.gain - 1e-6);
  });
});
