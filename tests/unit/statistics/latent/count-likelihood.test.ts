import { expect, it } from 'vitest';
import { countTerm, fieldTerm, logRising } from '../../../../shared/statistics/latent/count-likelihood.ts';
import { negativeBinomialLogProbability } from '../../../../shared/statistics/negative-binomial.ts';
import { lgamma } from '../../../../shared/statistics/special.ts';
import { closeTo } from '../../../support/close-to.ts';

it('the rising factorial is the same by products and by gamma functions', () => {
  for (const kappa of [0.05, 0.5, 3, 400])
    for (const count of [0, 1, 2, 7, 20, 21, 0.5, 1000])
      closeTo(logRising(kappa, count), lgamma(kappa + count) - lgamma(kappa), {
        within: 1e-10,
        because: 'differences of gamma functions lose digits',
      });
});

it('both terms together are the negative binomial log probability less its factorials, groups too', () => {
  const places = {
    xM: new Float64Array(6),
    yM: new Float64Array(6),
    count: Float64Array.of(0, 0, 1, 8, 60, 100_000),
    effortM2: Float64Array.of(0.25, 5000, 1, 2, 0.5, 1),
    kFactor: Float64Array.of(1, 1, 3.5, 1, 20, 1),
  };
  const u = Float64Array.of(-1, 2, 0.3, -0.7, 1.5, 3);
  const [mu, rootSill, k] = [-0.4, 2.2, 0.3];
  let expected = 0;
  places.count.forEach((count, i) => {
    const mean = places.effortM2[i]! * Math.exp(mu + rootSill * u[i]!);
    expected += negativeBinomialLogProbability(count, mean, k * places.kFactor[i]!) + lgamma(count + 1);
  });
  const ours = countTerm(places, k) + fieldTerm(places, places.effortM2.map(Math.log), u, mu, rootSill, Math.log(k));
  closeTo(ours / expected, 1, { within: 1e-12, because: 'the same formula' });
});

it('a density beyond all numbers still has a likelihood', () => {
  const one = Float64Array.of(1);
  const places = { xM: one, yM: one, count: one, effortM2: one, kFactor: one };
  expect(fieldTerm(places, Float64Array.of(0), one, 800, 1, 0)).toBe(801 - 2 * 801);
});
