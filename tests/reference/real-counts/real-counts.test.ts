import { readFileSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import { leaveOneOutOfAll } from '../../../shared/statistics/cross-validation.ts';
import { fitNegativeBinomial } from '../../../shared/statistics/dispersion.ts';
import { inverseDistance } from '../../../shared/statistics/idw.ts';
import { type KrigingOptions, ordinaryKriging } from '../../../shared/statistics/kriging.ts';
import { empiricalVariogram } from '../../../shared/statistics/variogram.ts';
import { fitVariogram } from '../../../shared/statistics/variogram-fit.ts';
import type { VariogramKind, VariogramModel } from '../../../shared/statistics/variogram-model.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';
import { realDataPath } from '../../support/real-data.ts';
import { squareBlock } from '../../support/square-block.ts';

/* The judge is R 4.2.2 with gstat 2.1-0 and MASS 7.3-58.2 (make.R → cases.json), on data that others measured. */
type Json = any; // eslint-disable-line @typescript-eslint/no-explicit-any
const reference: Json = JSON.parse(readFileSync(new URL('cases.json', import.meta.url), 'utf8'));
const KIND: Record<string, VariogramKind> = { Exp: 'exponential', Sph: 'spherical', Mat: 'matern32' };

const rowsOf = (path: string): Record<string, string>[] => {
  const [head, ...rows] = readFileSync(path, 'utf8').trim().split(/\r?\n/);
  const names = head!.split(',');
  return rows.map((row) => Object.fromEntries(row.split(',').map((cell, i) => [names[i]!, cell])));
};

const largest: Record<string, { error: number; within: number }> = {};
function agree(what: string, actual: ArrayLike<number>, expected: number[], within: number, because: string): void {
  expect(actual.length).toBe(expected.length);
  expected.forEach((value, i) => {
    const scale = Math.max(1e-3, Math.abs(value));
    closeTo(actual[i]! / scale, value / scale, { within, because: `${what}, element ${i}: ${because}` });
    const seen = (largest[what] ??= { error: 0, within });
    seen.error = Math.max(seen.error, Math.abs(actual[i]! - value) / scale);
  });
}
afterAll(() => {
  for (const [what, { error, within }] of Object.entries(largest))
    recordAgreement('real-counts', what, error, within, 'relative');
});
const ORDER = 'sums in another order';

const fieldCounts = realDataPath('weeds/bjertorp-counts.csv');
describe.skipIf(fieldCounts === null)('weed counts of a field at Bjertorp', () => {
  const e = reference.bjertorp;
  const rows = fieldCounts === null ? [] : rowsOf(fieldCounts);
  const column = (of: (row: Record<string, string>) => number) => Float64Array.from(rows, of);
  const counts = column((row) => Number(row['count_exact']));
  const data = {
    xM: column((row) => Number(row['east_m'])),
    yM: column((row) => Number(row['north_m'])),
    z: counts.map(Math.log),
  };
  const model: VariogramModel = {
    kind: 'exponential',
    nugget: e.model.nugget,
    partialSill: e.model.partialSill,
    rangeM: e.model.rangeParameterM,
  };
  const lags = (estimator: 'matheron' | 'cressie-hawkins') =>
    empiricalVariogram(data.xM, data.yM, data.z, { cutoffM: e.cutoffM, widthM: e.widthM, estimator });
  const krigingAgrees = (what: string, options: Partial<KrigingOptions>, theirs: Json) => {
    const [xM, yM] = [Float64Array.from(e.targets.x), Float64Array.from(e.targets.y)];
    const [prediction, variance] = [new Float64Array(xM.length), new Float64Array(xM.length)];
    const kriging = ordinaryKriging(data, model, { nugget: 'micro-structure', ...options });
    kriging.predict(xM, yM, 0, xM.length, prediction, variance);
    agree(`${what}: prediction`, prediction, theirs.prediction, 1e-8, ORDER);
    agree(`${what}: variance`, variance, theirs.variance, 1e-7, ORDER);
  };

  it('have the variograms of gstat, Matheron and robust', () => {
    const [ours, robust] = [lags('matheron'), lags('cressie-hawkins')];
    expect(Array.from(ours.pairs)).toEqual(e.variogramMatheron.pairs);
    agree('Bjertorp variogram', ours.gamma, e.variogramMatheron.gamma, 1e-9, ORDER);
    agree('Bjertorp variogram, robust', robust.gamma, e.variogramCressieRobust.gamma, 1e-9, ORDER);
  });

  it.each(['Exp', 'Sph', 'Mat'])('are fitted at least as well as by gstat: %s', (name) => {
    const theirs = e.fits[name];
    const { weightedSquares } = fitVariogram(lags('matheron'), KIND[name]!)!;
    const beyond = Math.max(0, weightedSquares / theirs.weightedSSErr - 1);
    agree('Bjertorp fit: weighted squares above those of gstat', [1 + beyond], [1], 1e-6, 'the same sum, not larger');
  });

  it('are kriged as by gstat: all places, the 16 nearest, blocks of 20 m, inverse distance', () => {
    krigingAgrees('Bjertorp kriging', {}, e.kriging);
    krigingAgrees('Bjertorp kriging, 16 nearest', { neighbours: 16 }, e.nearest16);
    krigingAgrees('Bjertorp block kriging', { block: squareBlock(e.block.blockM) }, e.block);
    const ours = inverseDistance(data, Float64Array.from(e.targets.x), Float64Array.from(e.targets.y));
    agree('Bjertorp inverse distance', ours, e.idw2, 1e-9, ORDER);
  });

  it('are left out one by one as by gstat', () => {
    const ours = leaveOneOutOfAll(data, model);
    agree(
      'Bjertorp leave-one-out: prediction',
      ours.prediction,
      e.leaveOneOut.prediction,
      1e-8,
      'gstat solves n systems',
    );
    agree('Bjertorp leave-one-out: variance', ours.variance, e.leaveOneOut.variance, 1e-7, 'gstat solves n systems');
  });

  it('have the clumping that MASS finds', () => {
    const fit = fitNegativeBinomial(counts, new Float64Array(counts.length).fill(1))!;
    const { mean, k, logLik } = e.negativeBinomial;
    agree('Bjertorp negative binomial: mean and k', [fit.ratePerEffort, fit.k], [mean, k], 1e-5, 'flat optimum');
    expect(fit.logLikelihood).toBeGreaterThanOrEqual(logLik - 1e-8);
  });
});

const seedbank = realDataPath('weeds/iowa-seedbank/ghobs.csv');
describe.skipIf(seedbank === null)('waterhemp in soil cores of Iowa', () => {
  it('has the clumping that MASS finds, block by block', () => {
    const e = reference.iowa;
    const sums = new Map<string, number>();
    for (const row of rowsOf(seedbank!)) {
      const block = `${row['blockID']} ${row['cc_trt']}`;
      const seen = row['AMATU'] === 'NA' ? 0 : Number(row['AMATU']);
      sums.set(block, (sums.get(block) ?? 0) + seen);
    }
    const counts = [...sums].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, sum]) => sum);
    expect(counts).toEqual(e.sums);
    const fit = fitNegativeBinomial(
      counts,
      counts.map(() => 1),
    )!;
    const { mean, k, logLik } = e.negativeBinomial;
    agree('Iowa negative binomial: mean and k', [fit.ratePerEffort, fit.k], [mean, k], 1e-5, 'flat optimum');
    expect(fit.logLikelihood).toBeGreaterThanOrEqual(logLik - 1e-8);
  });
});
