import { describe, expect, it } from 'vitest';
import { latentChain } from '../../../../shared/statistics/latent/chain.ts';
import type { Above } from '../../../../shared/statistics/latent/posterior.ts';
import {
  aboveThreshold,
  chainsSettled,
  joinChains,
  latentParameters,
} from '../../../../shared/statistics/latent/posterior.ts';
import { closeTo } from '../../../support/close-to.ts';
import { cellsOfField, patchyCounts } from '../../../support/latent-field.ts';
import { run } from '../../../support/run.ts';

const cells = cellsOfField(50);
const input = { places: patchyCounts(40), cells };
const [a, b] = [0, 1].map((chain) => run(latentChain(input, { seed: 3, chain, burnIn: 50, sweeps: 300 }))) as [
  Chain,
  Chain,
];
type Chain = Parameters<typeof joinChains>[0];
const chains = joinChains(a, b);
const even = new Float64Array(cells.xM.length).fill(2500);
const mean = (values: ArrayLike<number>): number =>
  Array.from(values).reduce((sum, value) => sum + value, 0) / values.length;

describe('two chains', () => {
  it('are the same together whichever is given first', () => {
    expect(joinChains(b, a)).toEqual(chains);
  });

  it('must be two, of the same cells', () => {
    expect(() => joinChains(a, a)).toThrow(/chain 0 twice/);
    const other = run(latentChain({ ...input, cells: cellsOfField(100) }, { seed: 3, chain: 1, burnIn: 1, sweeps: 1 }));
    expect(() => joinChains(a, other)).toThrow(/other cells/);
  });

  it('have geometric means of k, s and R within what was kept', () => {
    const { k, sill, rangeM } = latentParameters(chains);
    expect(Math.log(k)).toBeGreaterThan(Math.min(...chains.logK));
    expect(Math.log(k)).toBeLessThan(Math.max(...chains.logK));
    expect(sill).toBeGreaterThan(0);
    expect(rangeM).toBeGreaterThanOrEqual(30);
  });
});

describe('the ground above a threshold', () => {
  it('shrinks as the threshold rises', () => {
    const shares = [0.1, 1, 10].map((threshold) => aboveThreshold(chains, cells.coarse, threshold, even).share);
    expect(shares).toEqual([...shares].sort((x, y) => y - x));
  });

  it('is, in the mean of the joint draws, the sum of the probabilities', () => {
    const { share, drawnShares, shareOfChain, probability } = aboveThreshold(chains, cells.coarse, 1, even);
    expect(drawnShares.length).toBe(360);
    closeTo(mean(drawnShares), share, { within: 0.02, because: 'Monte Carlo error of 360 draws' });
    closeTo(share, mean(shareOfChain), { within: 1e-12, because: 'chains of one length' });
    closeTo(share, mean(probability), { within: 1e-12, because: 'cells of one area' });
  });

  it('counts the known ground alone', () => {
    const west = cells.xM.map((x) => (x < 400 ? 2500 : 0));
    const east = cells.xM.map((x) => (x < 400 ? 0 : 2500));
    const whole = aboveThreshold(chains, cells.coarse, 1, even);
    const [left, right] = [west, east].map((areas) => aboveThreshold(chains, cells.coarse, 1, areas));
    closeTo(left!.share + right!.share, 2 * whole.share, { within: 1e-9, because: 'halves of one field' });
    expect(left!.probability).toEqual(whole.probability);
  });

  it('has no joint draws where no coarse cell is known, and is then not settled', () => {
    const known = even.map((area, cell) => (cells.coarse.includes(cell) ? 0 : area));
    const above = aboveThreshold(chains, cells.coarse, 1, known);
    expect(above.drawnShares.length).toBe(0);
    expect(above.share).toBeGreaterThan(0);
    expect(chainsSettled(above)).toBe(false);
  });

  it('refuses a threshold of 0 and areas that do not fit', () => {
    expect(() => aboveThreshold(chains, cells.coarse, 0, even)).toThrow(/above 0/);
    expect(() => aboveThreshold(chains, cells.coarse, 1, new Float64Array(3))).toThrow(/do not fit/);
  });
});

it('chains are settled while their areas differ by less than a quarter of the range', () => {
  const above = (first: number, second: number): Above => ({
    probability: new Float64Array(1),
    share: (first + second) / 2,
    shareOfChain: [first, second],
    drawnShares: Float64Array.from({ length: 101 }, (_, i) => i / 100),
  });
  expect(chainsSettled(above(0.4, 0.62))).toBe(true);
  expect(chainsSettled(above(0.4, 0.63))).toBe(false);
});
