import { readFileSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import { countingBound } from '../../../shared/agronomy/infested-area.ts';
import { widenedRange } from '../../../shared/agronomy/infested-range.ts';
import { latentChain } from '../../../shared/statistics/latent/chain.ts';
import { countTerm, fieldTerm } from '../../../shared/statistics/latent/count-likelihood.ts';
import { cellGeometry, expectedAtCells } from '../../../shared/statistics/latent/cell-geometry.ts';
import type { FixedModel } from '../../../shared/statistics/latent/laplace.ts';
import { laplaceCovariance, laplaceFit, laplacePredict } from '../../../shared/statistics/latent/laplace.ts';
import { matern52 } from '../../../shared/statistics/latent/matern.ts';
import type { CountedPlaces, ModelPlaces } from '../../../shared/statistics/latent/places.ts';
import { pooled } from '../../../shared/statistics/latent/places.ts';
import { drawPolyaGamma, polyaGammaMean, polyaGammaVariance } from '../../../shared/statistics/latent/polya-gamma.ts';
import { aboveThreshold, joinChains, latentParameters } from '../../../shared/statistics/latent/posterior.ts';
import { RANGES_M } from '../../../shared/statistics/latent/priors.ts';
import { LatentSweep } from '../../../shared/statistics/latent/sweep.ts';
import { quantile } from '../../../shared/statistics/quantile.ts';
import type { RandomStream } from '../../../shared/statistics/random.ts';
import { stream } from '../../../shared/statistics/random.ts';
import { lgamma, normalCdf } from '../../../shared/statistics/special.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';
import { run } from '../../support/run.ts';

/*
 * The latent count model against latent-cases.json: each step of the sampler, one quadrat by quadrature, three whole
 * posteriors by a second sampler that shares only likelihood and priors (make-exact.py), and Laplace's method
 * (make-latent.py). Evidence of a second implementation, not of an outside authority.
 */
type Json = any; // eslint-disable-line @typescript-eslint/no-explicit-any
const read = (name: string): Json => JSON.parse(readFileSync(new URL(name, import.meta.url), 'utf8'));
const reference = read('latent-cases.json');
const weeds = read('../variogram-kriging/cases.json');

const flat = (values: Iterable<number>): Float64Array => Float64Array.from(values);
const placesOf = (points: [number, number][], count: number[], effortM2: number[]): CountedPlaces => ({
  xM: flat(points.map(([x]) => x)),
  yM: flat(points.map(([, y]) => y)),
  count: flat(count),
  effortM2: flat(effortM2),
});
/** As given: `modelPlaces` would put them into another order. */
const ungrouped = (places: CountedPlaces): ModelPlaces => ({
  ...places,
  kFactor: new Float64Array(places.count.length).fill(1),
});
const cellsAt = (targets: [number, number][]) => ({
  xM: flat(targets.map(([x]) => x)),
  yM: flat(targets.map(([, y]) => y)),
  coarse: Int32Array.from(targets.keys()),
});
/** The places and targets of a case, which may name a case of ../variogram-kriging. */
function given(input: Json): { places: CountedPlaces; targets: [number, number][] } {
  const from = typeof input === 'string' ? input : typeof input.points === 'string' ? input.points : null;
  if (from === null) return { places: placesOf(input.points, input.count, input.effortM2), targets: input.targets };
  const { points, targets } = weeds.cases.find((one: Json) => from.endsWith(`#${one.id}`)).input;
  const pairs = ({ x, y }: Json) => x.map((value: number, i: number) => [value, y[i]]);
  return { places: placesOf(pairs(points), points.count, points.effortM2), targets: pairs(targets).slice(0, 20) };
}

const largest: Record<string, { error: number; within: number; unit: string }> = {};
function agree(what: string, actual: number, expected: number, within: number, because: string, unit = ''): void {
  closeTo(actual, expected, { within, because: `${what}: ${because}` });
  const seen = (largest[what] ??= { error: 0, within, unit });
  seen.error = Math.max(seen.error, Math.abs(actual - expected));
}
function agreeRelative(what: string, actual: number, expected: number, within: number, because: string): void {
  agree(what, actual / expected, 1, within, because, 'relative');
}
afterAll(() => {
  for (const [what, { error, within, unit }] of Object.entries(largest))
    recordAgreement('latent counts', what, error, within, unit);
});

const exact = reference.exact;

describe('each step of the sampler', () => {
  it('has the Matérn 5/2 correlation', () => {
    for (const { h, practicalRangeM, expected } of exact.correlation.cases)
      agree('correlation', matern52(h, practicalRangeM), expected, 1e-14, 'the same formula');
  });

  it('has the mean and variance of Pólya-gamma draws', () => {
    for (const c of exact.polyaGammaMoments.cases) {
      agreeRelative('Pólya-gamma mean', polyaGammaMean(c.b, c.z), c.mean, 1e-9, 'the same formula');
      agreeRelative(
        'Pólya-gamma variance',
        polyaGammaVariance(c.b, c.z),
        c.variance,
        1e-4,
        'it cancels near |z| = 0.02',
      );
      agreeRelative(
        'Pólya-gamma mean, summed',
        polyaGammaMean(c.b, c.z),
        c.seriesMean,
        1e-8,
        'a sum of two million terms',
      );
    }
  });

  it('draws Pólya-gamma numbers with that mean and variance', () => {
    const draws = 20_000;
    for (const { b, z, mean, variance } of exact.polyaGammaMoments.cases) {
      const random = stream(3, 'polya gamma', b, z);
      const values = Float64Array.from({ length: draws }, () => drawPolyaGamma(random, b, z));
      const seen = values.reduce((sum, value) => sum + value, 0) / draws;
      const squares = values.map((value) => (value - mean) ** 2);
      const spread = squares.reduce((sum, value) => sum + value, 0) / draws;
      const spreadOfSpread = Math.sqrt(squares.reduce((sum, value) => sum + (value - spread) ** 2, 0)) / draws;
      closeTo(seen, mean, { within: 5 * Math.sqrt(variance / draws), because: 'five standard errors' });
      closeTo(spread, variance, { within: 5 * spreadOfSpread, because: 'five standard errors' });
    }
  });

  it('groups places as the case does', () => {
    const { input, expected } = exact.grouping;
    const group = pooled(
      { xM: flat(input.x), yM: flat(input.y), count: flat(input.count), effortM2: flat(input.effortM2) },
      [[0, 1, 2]],
    );
    for (const [ours, theirs] of [
      [group.count, expected.count],
      [group.effortM2, expected.effortM2],
      [group.kFactor, expected.kFactor],
      [group.xM, expected.x],
      [group.yM, expected.y],
    ] as const)
      agree('grouping', ours[0]!, theirs, 1e-12, 'the same sums');
  });
});

describe('one sweep', () => {
  const { input, expected } = exact.oneSweep;
  const places = ungrouped(placesOf(input.points, input.count, input.effortM2));
  const sweep = new LatentSweep(places);
  sweep.rangeIndex = input.rangeIndex;
  sweep.logSill = Math.log(input.sill);
  sweep.logK = Math.log(input.k);
  sweep.omega.set(input.omega);
  sweep.takeOmega();
  const marginal = sweep.marginal(input.rangeIndex, Math.log(input.sill));
  const because = 'exact algebra';

  it('has the case’s ranges and center of μ', () => {
    RANGES_M.forEach((rangeM, i) => agreeRelative('ranges', rangeM, expected.rangesM[i], 1e-12, because));
    agree('one sweep', sweep.muCenter, input.m0, 1e-9, because);
  });

  it('has the case’s Gaussian data, marginal density and μ', () => {
    sweep.y.forEach((y, i) => agree('one sweep', y, expected.pseudoData[i], 1e-9, because));
    agree('one sweep', marginal.logDensity, expected.logMarginal, 1e-9, because);
    agree('one sweep', marginal.logDensity, expected.logMarginalDense, 1e-9, 'by a dense determinant');
    agree('one sweep', marginal.muWeight / marginal.muPrecision, expected.muMean, 1e-9, because);
    agree('one sweep', 1 / marginal.muPrecision, expected.muVariance, 1e-9, because);
  });

  it('has the case’s field where the dice show nothing', () => {
    sweep.mu = -0.5;
    sweep.drawField({ normal: () => 0 } as RandomStream);
    const rootSill = Math.sqrt(input.sill);
    sweep.u.forEach((u, i) => agree('one sweep', rootSill * u, expected.fieldMeanGivenMuMinusHalf[i], 1e-9, because));
  });

  it('has the case’s weights and variances at targets', () => {
    const cells = cellsAt(input.targets);
    const ofPlaces = sweep.geometry(input.rangeIndex);
    const geometry = cellGeometry(places, cells, ofPlaces);
    for (let place = 0; place < 6; place++) {
      const column = new Float64Array(cells.xM.length);
      const alone = Float64Array.from({ length: 6 }, (_, i) => (i === place ? 1 : 0));
      expectedAtCells(geometry, ofPlaces, alone, new Float64Array(6), column);
      column.forEach((weight, cell) => agree('one sweep', weight, expected.targetWeights[cell][place], 1e-9, because));
    }
    geometry.variance.forEach((v, cell) =>
      agree('one sweep', v, Math.max(1e-6, expected.targetVarianceOverSill[cell]), 1e-9, 'exact algebra, floor 1e-6'),
    );
  });

  it('has the case’s likelihood', () => {
    const factorials = places.count.reduce((sum, c) => sum + lgamma(c + 1), 0);
    const ours =
      countTerm(places, input.k) +
      fieldTerm(places, sweep.logEffort, new Float64Array(6), 0, 1, Math.log(input.k)) -
      factorials;
    agree('one sweep', ours, expected.logLikelihoodAtPseudo, 1e-9, because);
  });
});

describe('one quadrat with everything but its density held', () => {
  for (const c of exact.oneQuadrat.cases) {
    const places = ungrouped(placesOf([[0, 0]], [c.count], [c.effortM2]));
    const logEffort = places.effortM2.map(Math.log);

    it(`of ${c.count} plants (k ${c.k}, s ${c.sill}) has the density that quadrature gives`, () => {
      const step = 0.0005;
      const rootSill = Math.sqrt(c.sill);
      let [sum, first, second, above] = [0, 0, 0, 0];
      const constant = countTerm(places, c.k) - lgamma(c.count + 1) - 0.5 * Math.log(2 * Math.PI * c.sill);
      for (let at = 0; at <= 80 / step; at++) {
        const eta = -40 + at * step;
        const u = Float64Array.of((eta - c.mu) / rootSill);
        const density = Math.exp(
          constant + fieldTerm(places, logEffort, u, c.mu, rootSill, Math.log(c.k)) - u[0]! ** 2 / 2,
        );
        sum += density;
        first += density * eta;
        second += density * eta * eta;
        if (eta > step / 2) above += density;
        else if (eta > -step / 2) above += density / 2;
      }
      const mean = first / sum;
      const because = 'sums over a fine grid';
      agree('one quadrat, quadrature', mean, c.mean, 1e-6, because);
      agree('one quadrat, quadrature', Math.sqrt(second / sum - mean * mean), c.sd, 1e-6, because);
      agree('one quadrat, quadrature', Math.log(sum * step), c.logEvidence, 1e-6, because);
      closeTo(above / sum, c.probabilityAbove1, { within: 1e-4, because: 'their grid leaves out half a step at 0' });
    });

    it(`of ${c.count} plants (k ${c.k}, s ${c.sill}) is sampled so`, () => {
      const draws = 20_000;
      const random = stream(11, 'one quadrat', c.count, c.k);
      const sweep = new LatentSweep(places);
      [sweep.mu, sweep.logSill, sweep.logK] = [c.mu, Math.log(c.sill), Math.log(c.k)];
      const batches = new Float64Array(50);
      let above = 0;
      for (let draw = 0; draw < draws; draw++) {
        sweep.drawOmega(random);
        sweep.marginal(sweep.rangeIndex, sweep.logSill);
        sweep.drawField(random);
        const eta = sweep.mu + Math.exp(sweep.logSill / 2) * sweep.u[0]!;
        batches[Math.floor((draw * batches.length) / draws)]! += (eta * batches.length) / draws;
        if (eta > 0) above += 1 / draws;
      }
      const mean = batches.reduce((sum, value) => sum + value, 0) / batches.length;
      const error = Math.sqrt(batches.reduce((sum, value) => sum + (value - mean) ** 2, 0)) / batches.length;
      expect(error).toBeLessThan(0.1);
      closeTo(mean, c.mean, { within: 4 * error, because: 'four standard errors, from batches' });
      agree(
        'one quadrat, sampled: P(density > 1)',
        above,
        c.probabilityAbove1,
        0.03,
        '20 000 draws that hang together',
        'of 1',
      );
    });
  }
});

describe('a whole posterior', () => {
  const SWEEPS: Record<string, number> = { 'six-quadrats': 12_000, 'twelve-clean-one-heap': 20_000, 'weeds-60': 3000 };

  for (const c of exact.posterior.cases) {
    it(`of ${c.id} is the one of two other samplers`, { timeout: 180_000 }, () => {
      const { places, targets } = given(c.input);
      const input = { places, cells: cellsAt(targets) };
      const [a, b] = [0, 1].map((chain) =>
        run(latentChain(input, { seed: 2, chain, burnIn: 500, sweeps: SWEEPS[c.id]! })),
      );
      const chains = joinChains(a!, b!);
      const above = aboveThreshold(chains, input.cells.coarse, 1, new Float64Array(targets.length).fill(1));
      const { mu, sill, k, rangeM } = latentParameters(chains);
      const heap = c.id === 'twelve-clean-one-heap';
      for (const route of ['polyaGamma', 'slice'] as const) {
        const theirs = c[route];
        const because = 'Monte Carlo error of both; the two routes differ by up to 0.032';
        const what = (of: string) => `posterior, ${route === 'slice' ? 'slice sampler' : 'same sampler'}: ${of}`;
        above.probability.forEach((p, i) =>
          agree(what('probability'), p, theirs.probabilityAbove1[i], 0.03, because, 'of 1'),
        );
        const share = theirs.shareOfTargets;
        agree(what('mean share'), above.share, share.mean, 0.03, because, 'of 1');
        for (const [q, expected] of [
          [0.05, share.q05],
          [0.5, share.q50],
          [0.95, share.q95],
        ])
          closeTo(quantile(above.drawnShares, q), expected, {
            within: 1 / targets.length + 0.01,
            because: 'shares are steps of one target, the control apart',
          });
        for (const [ours, expected] of [
          [mu, theirs.meanMu],
          [Math.log(sill), theirs.meanLogSill],
          [Math.log(k), theirs.meanLogK],
          [Math.log(rangeM), theirs.meanLogRange],
        ])
          agree(what('means of μ and logs'), ours, expected, heap ? 0.4 : 0.2, because);
      }
    });
  }
});

describe('the range of the infested area', () => {
  it('is widened for patch shape as the case does', () => {
    const { input, expected } = exact.shapeAllowance;
    const shares = flat(input.areas);
    const of90 = widenedRange(shares, 0.9, input.tau, input.cap);
    const of80 = widenedRange(shares, 0.8, input.tau, input.cap);
    const because = 'the same nodes and quantile';
    agree('shape allowance', of90.low, expected.q05, 1e-12, because);
    agree('shape allowance', of90.high, expected.q95, 1e-12, because);
    agree('shape allowance', of80.low, expected.q10, 1e-12, because);
    agree('shape allowance', of80.high, expected.q90, 1e-12, because);
  });

  it('has the counting bound of the 80 % range', () => {
    for (const c of exact.countingBound.cases) {
      const efforts = Float64Array.from({ length: c.n }, (_, i) => c.effortM2[i % c.effortM2.length]);
      const { low, high } = countingBound(c.positive, efforts, c.k, c.threshold, 0.8);
      agreeRelative('counting bound, 80 %', high, c.upper80, 1e-9, 'scipy');
      if (c.lower80 === 0) expect(low).toBe(0);
      else agreeRelative('counting bound, 80 %', low, c.lower80, 1e-9, 'scipy');
    }
  });
});

describe('Laplace’s method', () => {
  for (const c of reference.cases) {
    it(`has the mode, evidence and predictions of ${c.id}`, () => {
      const { places: of, targets } = given({ ...c.input });
      const places = ungrouped(of);
      const model: FixedModel = {
        mu: c.input.mu,
        sill: c.input.sill,
        k: c.input.k,
        correlation: (distanceM) => Math.exp(-distanceM / c.input.rangeParameterM),
      };
      const fit = laplaceFit(places, model);
      const { xM, yM } = cellsAt(targets);
      const mean = new Float64Array(xM.length);
      const variance = new Float64Array(xM.length);
      laplacePredict(places, model, fit, xM, yM, mean, variance);
      const { expected } = c;
      const newton = 'their Newton stops at 1e-6 of the objective';
      expected.latentAtData.forEach((f: number, i: number) => agree('Laplace: field', fit.field[i]!, f, 1e-6, newton));
      expected.weights.forEach((w: number, i: number) => agree('Laplace: weights', fit.weight[i]!, w, 1e-6, newton));
      agree('Laplace: log evidence', fit.logEvidence, expected.logEvidenceLaplace, 1e-6, newton);
      mean.forEach((m, i) => {
        agree('Laplace: mean at targets', m, expected.meanLogDensity[i], 1e-5, newton);
        agree('Laplace: variance at targets', variance[i]!, expected.varianceLogDensity[i], 1e-5, newton);
        agree(
          'Laplace: probability',
          normalCdf(m / Math.sqrt(variance[i]!)),
          expected.probabilityAbove1[i],
          1e-5,
          newton,
          'of 1',
        );
      });
      const covariance = laplaceCovariance(places, model, fit, xM, yM);
      expected.covarianceFirst4.forEach((row: number[], i: number) =>
        row.forEach((value, j) =>
          agree('Laplace: covariance of targets', covariance[i * xM.length + j]!, value, 1e-6, newton),
        ),
      );
    });
  }
});
