import { describe, expect, it } from 'vitest';
import { leftOutCheck } from '../../../shared/agronomy/left-out.ts';
import { thinned } from '../../../shared/agronomy/thinned-density.ts';
import { scoutingDensity } from '../../../shared/agronomy/scouting-density.ts';
import { closeTo } from '../../support/close-to.ts';

const flat = (values: readonly number[]) => Float64Array.from(values);
const stops = (densities: readonly number[]) => ({
  densityPerM2: flat(densities),
  effortM2: flat(densities.map(() => 1)),
});
const guesses = (densities: readonly number[]) => ({ prediction: flat(densities.map(Math.log1p)) });
const sound = { meanSquaredZ: 1 };

describe('stops left out', () => {
  it('are counted by side of the threshold, found ones by how many times the guess is off', () => {
    const found = leftOutCheck(stops([0, 0, 2, 4, 8, 0]), guesses([0, 3, 4, 4, 2, 0.2]), sound, 1);
    expect(found).toMatchObject({ stops: 6, above: 3, bothAbove: 3, bothBelow: 2, withPlants: 3 });
    // twice too many, right, a quarter: ln 2 + 0 + ln 4
    closeTo(found.logMissSum, Math.log(8), { within: 1e-12, because: 'logarithms of whole ratios' });
    closeTo(found.guessAtEmptyPerM2!, 3.2 / 3, { within: 1e-12, because: 'the mean of 0, 3 and 0.2' });
  });

  it('on the threshold are above it', () => {
    expect(leftOutCheck(stops([1, 0, 3]), guesses([1, 0, 1]), sound, 1)).toMatchObject({ above: 2, bothAbove: 2 });
  });

  it('guessed as less than half a plant are off by what half a plant is', () => {
    const few = { densityPerM2: flat([4, 0]), effortM2: flat([0.25, 1]) };
    closeTo(leftOutCheck(few, guesses([0, 0]), sound, 1).logMissSum, Math.log(2), {
      within: 1e-12,
      because: '4 plants/m² against half a plant on a quarter of a m²',
    });
  });

  it('with plants everywhere have no guess at an empty one', () => {
    expect(leftOutCheck(stops([1, 2]), guesses([1, 2]), sound, 1).guessAtEmptyPerM2).toBeNull();
  });
});

describe('doubts', () => {
  const good = [0, 0, 0, 0, 5, 6, 7, 8];

  it('are none where neighbors tell well', () => {
    expect(leftOutCheck(stops(good), guesses([0, 0.1, 0, 0.2, 4, 6, 7, 5]), sound, 1).doubts).toEqual([]);
  });

  it('are told where the neighbors foretell no better than the mean', () => {
    const { doubts } = leftOutCheck(stops(good), guesses([5, 6, 4, 5, 0, 0, 1, 0]), sound, 1);
    expect(doubts[0]).toMatch(/no better than the mean of all stops: do not trust the map/);
  });

  it('are told where one word for every stop would be right as often', () => {
    const { doubts } = leftOutCheck(stops([0, 0, 0, 0, 0, 0, 0.8, 5]), guesses([0, 0, 0, 0, 0, 0, 0.7, 0.9]), sound, 1);
    expect(doubts).toEqual([expect.stringMatching(/^"Below the threshold", said of every stop.* 7 times of 8/)]);
  });

  it('are told where the stated error is too small', () => {
    const { doubts } = leftOutCheck(stops(good), guesses(good), { meanSquaredZ: 4 }, 1);
    expect(doubts).toEqual([expect.stringMatching(/miss by 2 times/)]);
  });
});

describe('places drawn by lot', () => {
  const many = Array.from({ length: 60 }, (_, i) => ({
    xM: (37 * i) % 101,
    yM: (53 * i) % 97,
    effortM2: 1,
    count: i % 7,
  }));

  it('are all where there are few, and as many as asked for where there are more', () => {
    const density = scoutingDensity(many);
    expect(thinned(density, 60)).toMatchObject({ of: 60, xM: density.xM });
    const few = thinned(density, 20);
    expect([few.xM.length, few.of]).toEqual([20, 60]);
    const key = (xM: Float64Array, yM: Float64Array) => Array.from(xM, (x, i) => `${x} ${yM[i]}`);
    expect(new Set(key(few.xM, few.yM)).size).toBe(20);
    expect(key(density.xM, density.yM)).toEqual(expect.arrayContaining(key(few.xM, few.yM)));
  });

  it('are the same whatever their order', () => {
    const there = thinned(scoutingDensity(many), 20);
    const back = thinned(scoutingDensity([...many].reverse()), 20);
    expect(back).toEqual(there);
  });
});
