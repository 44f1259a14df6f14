import { describe, expect, it } from 'vitest';
import type { ChainOptions, LatentInput } from '../../../../shared/statistics/latent/chain.ts';
import { latentChain } from '../../../../shared/statistics/latent/chain.ts';
import type { CountedPlaces } from '../../../../shared/statistics/latent/places.ts';
import { latentCells } from '../../../../shared/agronomy/latent-surface.ts';
import { aboveThreshold, joinChains } from '../../../../shared/statistics/latent/posterior.ts';
import { stream } from '../../../../shared/statistics/random.ts';
import { cellsOfField, patchyCounts, patchyDensity } from '../../../support/latent-field.ts';
import { run } from '../../../support/run.ts';

const cells = cellsOfField(50);
const SHORT = { burnIn: 20, sweeps: 40 };
const given = (places: CountedPlaces): LatentInput => ({ places, cells });
const short = (places: CountedPlaces, options: Partial<ChainOptions> = {}) =>
  run(latentChain(given(places), { seed: 1, chain: 0, ...SHORT, ...options }));
const both = (places: CountedPlaces, options: Partial<ChainOptions> = {}) =>
  joinChains(short(places, options), short(places, { ...options, chain: 1 }));
const even = new Float64Array(cells.xM.length).fill(2500);
const shareAbove = (places: CountedPlaces, thresholdPerM2: number, options: Partial<ChainOptions> = {}) =>
  aboveThreshold(both(places, options), cells.coarse, thresholdPerM2, even);
const places = patchyCounts(30);

describe('a chain', () => {
  it('gives the same numbers for the same seed, others for another seed or chain', () => {
    const once = short(places);
    expect(short(places)).toEqual(once);
    expect(short(places, { seed: 2 }).mu).not.toEqual(once.mu);
    expect(short(places, { chain: 1 }).mu).not.toEqual(once.mu);
  });

  it('gives the same numbers whatever the order of the places', () => {
    const random = stream(4, 'order');
    const order = Array.from(places.count.keys(), (i) => [random.uniform(), i] as const).sort(([a], [b]) => a - b);
    const take = (values: Float64Array) => Float64Array.from(order, ([, i]) => values[i]!);
    const shuffled = {
      xM: take(places.xM),
      yM: take(places.yM),
      count: take(places.count),
      effortM2: take(places.effortM2),
    };
    expect(short(shuffled)).toEqual(short(places));
  });

  it('tells how far it is, and can be ended on the way', () => {
    const told: (readonly [number, number])[] = [];
    const steps = latentChain(given(places), { seed: 1, chain: 0, ...SHORT });
    for (let step = steps.next(); !step.done; step = steps.next()) told.push(step.value);
    expect(told[0]).toEqual([0, 60]);
    expect(told.map(([done]) => done)).toEqual(told.map(([done]) => done).sort((a, b) => a - b));
    expect(told.length).toBeGreaterThan(10);
    const ended = latentChain(given(places), { seed: 1, chain: 0 });
    ended.next();
    expect(ended.return(undefined as never).done).toBe(true);
    expect(ended.next().done).toBe(true);
  });

  it('runs on from where it stood: what was kept stays, as much comes to it', () => {
    const first = short(places);
    const on = short(places, { from: first });
    expect([on.parts, on.kept, first.kept]).toEqual([2, 16, 8]);
    expect(on.mu.slice(0, 8)).toEqual(first.mu);
    expect(on.surface.slice(0, first.surface.length)).toEqual(first.surface);
    expect(on.mu.slice(8)).not.toEqual(first.mu);
    expect(short(places, { from: first })).toEqual(on);
    expect(() => short(places, { from: first, chain: 1 })).toThrow(/cannot run on/);
    expect(() => short(patchyCounts(31), { from: first })).toThrow(/cannot run on/);
  });

  it('survives being handed over as plain data', () => {
    expect(structuredClone(short(places))).toEqual(short(places));
  });

  it('refuses cells that do not fit, and an effort of 0', () => {
    const start = (input: LatentInput) => () => latentChain(input, { seed: 1, chain: 0 }).next();
    expect(start({ places, cells: { ...cells, yM: new Float64Array(1) } })).toThrow(/as many y as x/);
    expect(start({ places, cells: { ...cells, coarse: Int32Array.of(9999) } })).toThrow(/coarse cell 9999/);
    expect(start(given({ ...places, effortM2: new Float64Array(30) }))).toThrow(/effort above 0/);
  });
});

describe('odd counts', () => {
  const finite = (of: CountedPlaces) => {
    const chains = both(of);
    expect(chains.surface.every(Number.isFinite)).toBe(true);
    expect(chains.draws.every(Number.isFinite)).toBe(true);
    const { probability, share, drawnShares } = aboveThreshold(chains, cells.coarse, 1, even);
    expect(probability.every((p) => p >= 0 && p <= 1)).toBe(true);
    expect(share).toBeGreaterThanOrEqual(0);
    expect(drawnShares.every((one) => one >= 0 && one <= 1)).toBe(true);
    return share;
  };
  const at = (xM: number[], yM: number[], count: number[], effortM2 = count.map(() => 1)): CountedPlaces => ({
    xM: Float64Array.from(xM),
    yM: Float64Array.from(yM),
    count: Float64Array.from(count),
    effortM2: Float64Array.from(effortM2),
  });

  it('of one place', () => {
    finite(at([100], [100], [3]));
  });

  it('all zero leave little ground above the threshold', () => {
    expect(finite({ ...places, count: new Float64Array(30) })).toBeLessThan(0.1);
  });

  it('on a line', () => {
    finite({ ...places, yM: new Float64Array(30).fill(250) });
  });

  it('two at one place that differ, and twenty at one place that do not', () => {
    finite(at([100, 100, 400], [100, 100, 200], [0, 40, 2]));
    finite(at(new Array(20).fill(10), new Array(20).fill(10), new Array(20).fill(2)));
  });

  it('of millions of plants', () => {
    expect(finite({ ...places, count: places.count.map((c) => 1e6 * (c + 1)) })).toBeGreaterThan(0.8);
  });

  it('that are not whole, and efforts from a square centimetre to a hectare', () => {
    finite({ ...places, count: places.count.map((c) => c + 0.5) });
    finite({ ...places, effortM2: places.effortM2.map((_, i) => (i % 2 ? 1e-4 : 1e4)) });
  });

  it('at 5000 places', () => {
    const share = shareAbove(patchyCounts(5000), 1, { burnIn: 40, sweeps: 30 }).share;
    const truth = cells.xM.reduce((n, x, i) => n + (patchyDensity(x, cells.yM[i]!) > 1 ? 1 : 0), 0) / cells.xM.length;
    expect(Math.abs(share - truth)).toBeLessThan(0.1);
  });
});

describe('a field with three patches', () => {
  const chains = both(patchyCounts(120), { burnIn: 100, sweeps: 200 });

  it('has them where they are: most of the probability above 1 plant/m² lies on ground that is', () => {
    const { probability } = aboveThreshold(chains, cells.coarse, 1, even);
    let [brier, flat] = [0, 0];
    const truth = Array.from(cells.xM, (x, i) => (patchyDensity(x, cells.yM[i]!) > 1 ? 1 : 0));
    const share = truth.reduce((sum: number, one) => sum + one, 0) / truth.length;
    truth.forEach((one, i) => {
      brier += (probability[i]! - one) ** 2;
      flat += (share - one) ** 2;
    });
    expect(brier).toBeLessThan(0.5 * flat);
  });

  it('has a mean density that is large in a patch and small far from them', () => {
    const { meanPerM2, leftShare } = latentCells(chains, 50);
    const cellAt = (x: number, y: number) =>
      cells.xM.findIndex((cx, i) => Math.abs(cx - x) <= 25 && Math.abs(cells.yM[i]! - y) <= 25);
    expect(meanPerM2[cellAt(600, 300)]!).toBeGreaterThan(3);
    expect(meanPerM2[cellAt(25, 475)]!).toBeLessThan(1);
    expect(leftShare.every((v) => v > 0)).toBe(true);
  });
});
