import { describe, expect, test } from 'vitest';
import { presentValue, programGain, stakeOf, termsBySize } from '../../../shared/agronomy/economics.ts';
import type { SeasonOfStake } from '../../../shared/agronomy/economics.ts';
import { orderByPriority } from '../../../shared/agronomy/priority-order.ts';
import { rankStability, stabilityWord } from '../../../shared/agronomy/rank-stability.ts';
import { closeTo } from '../../support/close-to.ts';

const seasons = (lossFraction: number): SeasonOfStake[] =>
  Array.from({ length: 6 }, () => ({ lossFraction, pricePerKg: 0.4, yieldKgHa: 3500, extraControlPerHa: 20 }));
const rounding = { within: 1e-8, because: 'rounding of sums of 1e5' };

describe('refuses', () => {
  test('a loss of more than the yield, a negative price, a negative rate', () => {
    expect(() => stakeOf(1, seasons(1.1), 0.05)).toThrow(/1\.1/);
    expect(() => stakeOf(1, [{ ...seasons(0)[0]!, pricePerKg: -1 }], 0.05)).toThrow(/price/);
    expect(() => presentValue([1], -0.1)).toThrow(/rate/);
  });
  test('an order of what is not known', () => {
    expect(() => orderByPriority([{ id: 'north', gain: NaN, cost: 1, stake: 1, areaHa: 1 }])).toThrow(/north/);
    expect(() => rankStability(Float64Array.of(1, NaN), 2)).toThrow(/cannot be ranked/);
    expect(() => rankStability(Float64Array.of(1, 2, 3), 2)).toThrow(/3 values/);
  });
});

describe('laws', () => {
  const asNow = stakeOf(30, seasons(0.2), 0.05);
  const left = stakeOf(30, seasons(0.01), 0.05);
  const costs = Array(6).fill(80 * 30);

  test('the stake is never negative, and 0 where nothing is lost or spent', () => {
    expect(stakeOf(30, [{ lossFraction: 0, pricePerKg: 1, yieldKgHa: 1, extraControlPerHa: 0 }], 0.05).stake).toBe(0);
    expect(asNow.stake).toBeGreaterThan(0);
  });
  test('no change gains nothing', () => {
    expect(programGain(asNow, asNow, [0, 0, 0], 0.05)).toEqual({
      gain: 0,
      cost: 0,
      terms: { yieldSaved: 0, extraControlSaved: 0, programCost: 0, seedToOthersSaved: 0 },
    });
  });
  test('stake grows with area alone, and all money times k is gain times k', () => {
    closeTo(stakeOf(90, seasons(0.2), 0.05).stake, 3 * asNow.stake, rounding);
    const dearer = (loss: number) =>
      stakeOf(
        30,
        seasons(loss).map((s) => ({ ...s, pricePerKg: 7 * s.pricePerKg, extraControlPerHa: 140 })),
        0.05,
      );
    const seven = programGain(
      dearer(0.2),
      dearer(0.01),
      costs.map((c) => 7 * c),
      0.05,
    );
    closeTo(seven.gain, 7 * programGain(asNow, left, costs, 0.05).gain, rounding);
  });
  test('seed that lands with others is charged to its source', () => {
    const without = programGain(asNow, left, costs, 0.05).gain;
    const withOthers = programGain(asNow, left, costs, 0.05, { asNow: 500, program: 120 });
    closeTo(withOthers.gain - without, 380, rounding);
    expect(termsBySize(withOthers.terms).map(({ term }) => term)).toEqual([
      'yieldSaved',
      'programCost',
      'seedToOthersSaved',
    ]);
  });
  test('an unknown loss makes the stake unknown', () => {
    expect(stakeOf(30, [{ ...seasons(0)[0]!, lossFraction: NaN }], 0.05).stake).toBeNaN();
  });
});

describe('order of priority', () => {
  const item = (id: string, gain: number, cost: number, stake = 10, areaHa = 1) => ({ id, gain, cost, stake, areaHa });

  test('free gains first, then by ratio, what saves money now and loses more last', () => {
    const items = [
      item('loses', -5, 10),
      item('no change', 0, 0),
      item('saves and loses', -20, -10),
      item('pays', 30, 10),
      item('free', 1, 0, 20),
      item('saves and gains', 2, -5, 10),
    ];
    expect(orderByPriority(items).map(({ id }) => id)).toEqual([
      'free',
      'saves and gains',
      'pays',
      'no change',
      'loses',
      'saves and loses',
    ]);
  });
  test('all money times k leaves every place, ties included', () => {
    const items = [item('b', 0.3, 0.1), item('a', 0.6, 0.2), item('c', 0.9, 0.3, 12)];
    const order = orderByPriority(items).map(({ id }) => id);
    expect(order).toEqual(['c', 'a', 'b']);
    for (const k of [1 / 3, 0.07, 1e6 / 7]) {
      const times = items.map((each) => item(each.id, each.gain * k, each.cost * k, each.stake * k));
      expect(orderByPriority(times).map(({ id }) => id)).toEqual(order);
    }
  });
});

describe('stability of ranks', () => {
  test('shares among the first k add up to k, whatever the draws', () => {
    const values = Float64Array.from({ length: 7 * 50 }, (_, k) => (k * 7919) % 101);
    values[3] = values[4] = Infinity;
    const { amongFirst, meanRank } = rankStability(values, 7);
    for (let k = 0; k < 7; k++) {
      closeTo(
        amongFirst.slice(7 * k, 7 * k + 7).reduce((a, b) => a + b),
        k + 1,
        { within: 1e-12, because: 'rounding' },
      );
    }
    closeTo(
      meanRank.reduce((a, b) => a + b),
      28,
      { within: 1e-10, because: 'ranks 1 to 7 in every draw' },
    );
  });
  test('the words have their limits', () => {
    expect([0.8, 0.79, 0.5, 0.49].map(stabilityWord)).toEqual(['firm', 'likely', 'likely', 'unsure']);
  });
});
