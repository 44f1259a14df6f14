import { readFileSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import { clumpingRange, dispersionOf, fitNegativeBinomial } from '../../../shared/statistics/dispersion.ts';
import {
  clopperPearsonInterval,
  jeffreysInterval,
  poissonRateInterval,
  quadratsForShare,
  wilsonInterval,
} from '../../../shared/statistics/intervals.ts';
import {
  negativeBinomialCdf,
  negativeBinomialLogProbability,
  negativeBinomialQuantile,
  poissonCdf,
  poissonLogProbability,
} from '../../../shared/statistics/negative-binomial.ts';
import { moranIndex, moranTest } from '../../../shared/statistics/moran.ts';
import { quantile } from '../../../shared/statistics/quantile.ts';
import {
  chiSquareQuantile,
  digamma,
  fQuantile,
  lgamma,
  normalCdf,
  normalQuantile,
  studentTQuantile,
} from '../../../shared/statistics/special.ts';
import { summarise } from '../../../shared/statistics/summary.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';

/* The judge is R 4.2.2 with MASS (make.R → cases.json). Tolerances: cases.json. */
type Json = any; // eslint-disable-line @typescript-eslint/no-explicit-any
const reference: Json = JSON.parse(readFileSync(new URL('cases.json', import.meta.url), 'utf8'));
const clumping: Json = JSON.parse(readFileSync(new URL('clumping.json', import.meta.url), 'utf8'));

const largest: Record<string, { error: number; within: number }> = {};
/** Relative, but absolute where the value is below `floor`. */
function agree(what: string, actual: number, expected: number, within: number, because: string, floor = 0): void {
  const scale = Math.max(floor, Math.abs(expected)) || 1;
  closeTo(actual / scale, expected / scale, { within, because: `${what}: ${because}` });
  const seen = (largest[what] ??= { error: 0, within });
  seen.error = Math.max(seen.error, Math.abs(actual - expected) / scale);
}
afterAll(() => {
  for (const [what, { error, within }] of Object.entries(largest))
    recordAgreement('statistics', what, error, within, 'relative');
});
const each = (x: number[], check: (value: number, i: number) => void) => x.forEach(check);
const LGAMMA = 'both go through log gamma';

describe('counts', () => {
  it('have the probabilities, tails and quantiles of the negative binomial in R, at 20 pairs of mean and k', () => {
    expect(reference.negativeBinomial).toHaveLength(20);
    for (const { mu, k, x, pmf, logPmf, cdf, upperTail, quantiles } of reference.negativeBinomial) {
      each(x, (count, i) => {
        const log = negativeBinomialLogProbability(count, mu, k);
        agree('negative binomial: log probability', log, logPmf[i], 1e-11, LGAMMA, 1e-3);
        agree('negative binomial: probability', Math.exp(log), pmf[i], 1e-11, LGAMMA, 1e-300);
        const { lower, upper } = negativeBinomialCdf(count, mu, k);
        agree('negative binomial: at most', lower, cdf[i], 1e-11, LGAMMA, 1e-300);
        agree('negative binomial: more', upper, upperTail[i], 1e-11, LGAMMA, 1e-300);
      });
      each(quantiles.p, (p, i) => expect(negativeBinomialQuantile(p, mu, k) === quantiles.q[i]).toBe(true));
    }
  });

  it('have the probabilities of the Poisson in R', () => {
    for (const { mean, x, pmf, cdf } of reference.poisson) {
      each(x, (count, i) => {
        agree('Poisson: probability', Math.exp(poissonLogProbability(count, mean)), pmf[i], 1e-11, LGAMMA, 1e-300);
        agree('Poisson: at most', poissonCdf(count, mean), cdf[i], 1e-11, LGAMMA, 1e-300);
      });
    }
  });

  for (const set of reference.negativeBinomialFit) {
    it(`give the clumping that R finds: ${set.id}`, () => {
      const ones = new Array(set.x.length).fill(1);
      const fit = fitNegativeBinomial(set.x, ones);
      const told = dispersionOf(set.x, ones);
      if (typeof set.ml.k === 'string') {
        expect(told?.k ?? null, 'no finite k in R either').toBeNull();
        if (set.mean > 0) {
          expect(fit).toBeNull();
          agree('index of dispersion', told!.index, set.dispersionIndex, 1e-12, 'the same formula');
        } else expect(told).toBeNull();
        return;
      }
      agree('index of dispersion', told!.index, set.dispersionIndex, 1e-12, 'the same formula');
      agree('negative binomial fit: mean', fit!.ratePerEffort, set.ml.mu, 1e-5, 'flat optimum');
      agree('negative binomial fit: k', fit!.k, set.ml.k, 1e-5, 'flat optimum');
      expect(fit!.logLikelihood).toBeGreaterThanOrEqual(set.ml.logLik - 1e-8);
      const positives = set.x.filter((c: number) => c > 0).length;
      if (positives < 5)
        expect(told, 'R gives a k with an error of 1.3 in log: not knowledge').toMatchObject({ k: null });
      else expect(told!.k).toBe(fit!.k);
    });
  }

  for (const set of clumping.sets) {
    it(`give the range of k that R finds: ${set.id}`, () => {
      const fit = fitNegativeBinomial(set.x, set.effort)!;
      const range = clumpingRange(set.x, set.effort, fit, clumping.level);
      agree(
        'negative binomial k: ends of the 90 % range',
        range.low,
        set.low,
        1e-5,
        'R optimizes the rate to 1e-12 in log',
      );
      if (set.high === null) expect(range.high, 'R finds no upper end below 10 000 either').toBeNull();
      else agree('negative binomial k: ends of the 90 % range', range.high!, set.high, 1e-5, 'as its lower end');
    });
  }

  it('in quadrats of unequal size give the k of R, and a mean that is not the ratio of sums', () => {
    const { x, effortM2, densityPerM2, k, logLik, glmNb, ratioOfSums } = reference.negativeBinomialOffset;
    const fit = fitNegativeBinomial(x, effortM2)!;
    agree('negative binomial fit: mean', fit.ratePerEffort, densityPerM2, 1e-5, 'flat optimum');
    agree('negative binomial fit: k', fit.k, k, 1e-5, 'flat optimum');
    agree('negative binomial fit: MASS glm.nb mean', fit.ratePerEffort, glmNb.densityPerM2, 1e-5, 'flat optimum');
    agree('negative binomial fit: MASS glm.nb k', fit.k, glmNb.k, 1e-5, 'flat optimum');
    expect(fit.logLikelihood).toBeGreaterThanOrEqual(logLik - 1e-8);
    const summary = summarise(
      x.map((c: number, i: number) => c / effortM2[i]),
      effortM2,
    );
    agree('ratio of sums', summary.mean, ratioOfSums, 1e-12, 'mean of densities weighted by effort');
  });
});

describe('intervals', () => {
  it('of shares are those of R', () => {
    for (const s of reference.shares) {
      const { successes: x, trials: n } = s;
      // R takes the correction back where the count is within it of n/2, the null value of its test
      const continuity = Math.min(0.5, Math.abs(x - n / 2));
      const pairs = [
        ['Wilson', wilsonInterval(x, n), s.wilson95],
        ['Wilson 90 %', wilsonInterval(x, n, 0.9), s.wilson90],
        ['Wilson, continuity', wilsonInterval(x, n, 0.95, continuity), s.wilsonContinuity95],
        ['Clopper–Pearson', clopperPearsonInterval(x, n), s.clopperPearson95],
        ['Jeffreys', jeffreysInterval(x, n), s.jeffreys95],
      ] as const;
      for (const [name, { low, high }, [theirLow, theirHigh]] of pairs) {
        agree(`interval: ${name}`, low, theirLow, 1e-9, 'R prop.test, binom.test, qbeta', 1);
        agree(`interval: ${name}`, high, theirHigh, 1e-9, 'R prop.test, binom.test, qbeta', 1);
      }
    }
  });

  it('of rates are those of R', () => {
    for (const { count, effort, interval } of reference.poissonInterval95) {
      const { low, high } = poissonRateInterval(count, effort);
      agree('interval: Poisson rate', low, interval[0], 1e-9, 'R poisson.test');
      agree('interval: Poisson rate', high, interval[1], 1e-9, 'R poisson.test');
    }
  });

  it('of clean rounds ask for as many quadrats as R', () => {
    for (const { share, confidence, quadrats } of reference.detection)
      expect(quadratsForShare(share, confidence)).toBe(quadrats);
  });
});

describe('summaries', () => {
  it('have the quantiles of R, type 7, and the spreads made of them', () => {
    for (const { x: numbers, p, q, iqr, mad } of reference.quantilesType7) {
      const x: number[] = [numbers].flat(); // the maker writes a single number without its brackets
      each(p, (share, i) => agree('quantile', quantile(x, share), q[i], 1e-14, 'the same formula', 1));
      agree('quantile', quantile(x, 0.75) - quantile(x, 0.25), iqr, 1e-14, 'the same formula', 1);
      const median = quantile(x, 0.5);
      agree(
        'quantile',
        quantile(
          x.map((v: number) => Math.abs(v - median)),
          0.5,
        ),
        mad,
        1e-14,
        'the same formula',
        1,
      );
    }
  });

  it('have the weighted moments of R', () => {
    const { x, weights, mean, varianceUnbiasedReliability, varianceML, effectiveN } = reference.weighted;
    const ours = summarise(x, weights);
    agree('weighted mean', ours.mean, mean, 1e-12, 'the same formula');
    agree('weighted variance', ours.variance, varianceUnbiasedReliability, 1e-12, 'the same formula');
    agree('weighted variance', ours.varianceOfAll, varianceML, 1e-12, 'the same formula');
    agree('effective number', ours.effectiveCount, effectiveN, 1e-12, 'the same formula');
  });

  it('keep the variance of numbers near 1e9', () => {
    const { x, mean, variance } = reference.varianceShifted;
    agree('mean near 1e9', summarise(x).mean, mean, 0, 'exact');
    agree('variance near 1e9', summarise(x).variance, variance, 0, 'exact');
  });
});

describe('distributions', () => {
  const d = reference.distributions;
  it('have the normal of R, in both tails', () => {
    each(d.normal.z, (z, i) =>
      agree('normal: share below', normalCdf(z), d.normal.cdf[i], 1e-13, 'two rational approximations'),
    );
    each(d.normal.p, (p, i) =>
      agree('normal: quantile', normalQuantile(p), d.normal.q[i], 1e-13, 'two rational approximations', 1),
    );
  });

  it('have the quantiles of t, chi-square and F in R', () => {
    each(d.studentT.df, (df, i) =>
      each(d.studentT.p, (p, j) => agree('t: quantile', studentTQuantile(p, df), d.studentT.q[i][j], 1e-11, 'R qt')),
    );
    each(d.chiSquare.df, (df, i) =>
      agree('chi-square: quantile', chiSquareQuantile(d.chiSquare.p, df), d.chiSquare.q[i], 1e-12, 'R qchisq'),
    );
    each(d.f.df1, (df1, i) => agree('F: quantile', fQuantile(d.f.p, df1, d.f.df2[i]), d.f.q[i], 1e-12, 'R qf'));
  });

  it('have log gamma and digamma of R', () => {
    each(d.lgamma.x, (x, i) => agree('log gamma', lgamma(x), d.lgamma.value[i], 1e-13, 'Stirling, 15 and up', 1));
    each(d.digamma.x, (x, i) => agree('digamma', digamma(x), d.digamma.value[i], 1e-13, 'asymptotic, 15 and up'));
  });

  it('turn a normal on log(1 + density) back as R does', () => {
    for (const {
      mu,
      variance,
      meanOfExpMinus1,
      medianOfExpMinus1,
      probabilityAboveLog1p1,
    } of reference.backTransform) {
      agree('back from the logarithm', Math.expm1(mu + variance / 2), meanOfExpMinus1, 1e-12, 'the same formula');
      agree('back from the logarithm', Math.expm1(mu), medianOfExpMinus1, 1e-12, 'the same formula', 1);
      agree(
        'back from the logarithm',
        normalCdf((mu - Math.log1p(1)) / Math.sqrt(variance)),
        probabilityAboveLog1p1,
        1e-12,
        'the same formula',
      );
    }
  });
});

describe("Moran's I", () => {
  const { z: values, weights } = reference.moran;
  const z = Float64Array.from(values);
  // not built, because the tool asks only whether a field is patchy: Geary's C, local Moran, Getis-Ord G, and the variances
  // under normality and randomisation (the tool shuffles instead)
  for (const w of weights) {
    it(`is that of spdep with neighbours ${w.id}, and shuffling agrees with its error`, () => {
      const lists: number[][] = w.neighbours.map((one: number | number[]) => [one].flat());
      const starts = Int32Array.from([
        0,
        ...lists.map((_, i) => lists.slice(0, i + 1).reduce((sum, one) => sum + one.length, 0)),
      ]);
      const neighbourhood = {
        starts,
        ids: Int32Array.from(lists.flat(), (id) => id - 1),
        weights: Float64Array.from(lists.flatMap((one) => one.map(() => (w.style === 'W' ? 1 / one.length : 1)))),
      };
      agree("Moran's I", moranIndex(z, neighbourhood), w.I, 1e-10, 'spdep moran.test');
      const test = moranTest(z, neighbourhood);
      agree("Moran's I: expectation", test.expectation, w.expectation, 1e-12, 'the same formula');
      expect((w.I - w.expectation) / Math.sqrt(w.varianceRandomisation), 'far beyond chance in spdep').toBeGreaterThan(
        5,
      );
      expect([test.highP, test.lowP]).toEqual([0.001, 1]);
    });
  }
});
