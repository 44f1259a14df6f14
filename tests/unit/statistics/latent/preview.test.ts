import { expect, it } from 'vitest';
import { latentChain } from '../../../../shared/statistics/latent/chain.ts';
import { aboveThreshold, joinChains } from '../../../../shared/statistics/latent/posterior.ts';
import { latentPreview } from '../../../../shared/statistics/latent/preview.ts';
import { cellsOfField, patchyCounts } from '../../../support/latent-field.ts';
import { run } from '../../../support/run.ts';

const cells = cellsOfField(50);

it('shows nearly what the chains will say', () => {
  const places = patchyCounts(80);
  const [a, b] = [0, 1].map((chain) =>
    run(latentChain({ places, cells }, { seed: 1, chain, burnIn: 100, sweeps: 300 })),
  );
  const even = new Float64Array(cells.xM.length).fill(1);
  const { probability, share } = aboveThreshold(joinChains(a!, b!), cells.coarse, 1, even);
  const preview = latentPreview(places, cells, 1);
  const mean = (values: Float64Array) => values.reduce((sum, value) => sum + value, 0) / values.length;
  // the parameters are held: on nine such fields the cells were 0.04–0.14 apart in the mean, the shares up to 0.08
  expect(mean(probability.map((p, i) => Math.abs(p - preview.probability[i]!)))).toBeLessThan(0.2);
  expect(Math.abs(mean(preview.probability) - share)).toBeLessThan(0.1);
  preview.medianPerM2.forEach((density, i) => expect(density > 1).toBe(preview.probability[i]! > 0.5));
});

it('takes all zeros, one place, two at one place and 5000 places', () => {
  const some = patchyCounts(30);
  const one = {
    xM: Float64Array.of(9),
    yM: Float64Array.of(9),
    count: Float64Array.of(2),
    effortM2: Float64Array.of(1),
  };
  const two = {
    ...one,
    xM: Float64Array.of(9, 9),
    yM: Float64Array.of(9, 9),
    count: Float64Array.of(0, 1e6),
    effortM2: Float64Array.of(1, 1),
  };
  for (const places of [{ ...some, count: new Float64Array(30) }, one, two, patchyCounts(5000)]) {
    const { probability, logVariance } = latentPreview(places, cells, 1);
    expect(probability.every((p) => p >= 0 && p <= 1)).toBe(true);
    expect(logVariance.every((v) => v > 0)).toBe(true);
  }
});

it('knows less far from the places than beside them', () => {
  const near = {
    xM: Float64Array.of(25),
    yM: Float64Array.of(25),
    count: Float64Array.of(4),
    effortM2: Float64Array.of(1),
  };
  const { logVariance } = latentPreview(near, cells, 1);
  expect(logVariance[0]!).toBeLessThan(logVariance.at(-1)!);
});

it('refuses a threshold of 0', () => {
  expect(() => latentPreview(patchyCounts(5), cells, 0)).toThrow(/above 0/);
});
