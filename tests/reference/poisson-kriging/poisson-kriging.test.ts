import { readFileSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import type { CountedPlaces } from '../../../shared/statistics/latent/places.ts';
import { meanDensityPerM2, poissonKriging, poissonVariogram } from '../../../shared/statistics/poisson-kriging.ts';
import type { VariogramModel } from '../../../shared/statistics/variogram-model.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';

/* Cases by make.py (numpy): a second implementation, checked by a Monte Carlo and two identities (README.md). */
type Json = any; // eslint-disable-line @typescript-eslint/no-explicit-any
const read = (name: string): Json => JSON.parse(readFileSync(new URL(name, import.meta.url), 'utf8'));
const reference = read('cases.json');
const weeds = read('../variogram-kriging/cases.json').cases;

const flat = (values: number[]): Float64Array => Float64Array.from(values);
const columns = (pairs: [number, number][]) => ({ xM: flat(pairs.map(([x]) => x)), yM: flat(pairs.map(([, y]) => y)) });

function given(input: Json): { places: CountedPlaces; targets: { xM: Float64Array; yM: Float64Array } } {
  if (!input.pointsFrom) {
    const places = { ...columns(input.points), count: flat(input.count), effortM2: flat(input.effortM2) };
    return { places, targets: columns(input.targets) };
  }
  const { points, targets } = weeds.find((one: Json) => input.pointsFrom.endsWith(`#${one.id}`)).input;
  return {
    places: { xM: flat(points.x), yM: flat(points.y), count: flat(points.count), effortM2: flat(points.effortM2) },
    targets: { xM: flat(targets.x.slice(0, 20)), yM: flat(targets.y.slice(0, 20)) },
  };
}

const modelOf = ({ type, partialSill, rangeParameterM, nugget }: Json): VariogramModel => {
  expect(type).toBe('Exp');
  return { kind: 'exponential', partialSill, rangeM: rangeParameterM, nugget };
};

const largest: Record<string, number> = {};
const WITHIN = 1e-10;
function agree(what: string, actual: number, expected: number): void {
  const scale = Math.max(1e-3, Math.abs(expected));
  closeTo(actual / scale, expected / scale, { within: WITHIN, because: `${what}: one dense solve in another order` });
  largest[what] = Math.max(largest[what] ?? 0, Math.abs(actual - expected) / scale);
}
afterAll(() => {
  for (const [what, error] of Object.entries(largest))
    recordAgreement('poisson-kriging', what, error, WITHIN, 'relative');
});

describe('Poisson kriging', () => {
  for (const { id, title, input, expected } of reference.cases) {
    it(`agrees on ${id}: ${title}`, () => {
      const { places, targets } = given(input);
      agree('mean density', meanDensityPerM2(places), expected.meanDensityPerM2);
      const { densityPerM2, variance } = poissonKriging(places, modelOf(input.model), targets.xM, targets.yM);
      expect(densityPerM2.length).toBe(expected.kriging.length);
      expected.kriging.forEach((theirs: Json, target: number) => {
        agree('prediction', densityPerM2[target]!, theirs.prediction);
        agree('variance', variance[target]!, theirs.variance);
      });
    });

    if (!expected.variogram) continue;
    it(`has the corrected variogram of ${id}`, () => {
      const ours = poissonVariogram(given(input).places, input.widthM, input.cutoffM);
      expect([...ours.pairs]).toEqual(expected.variogram.map((lag: Json) => lag.pairs));
      expected.variogram.forEach((lag: Json, i: number) => {
        agree('variogram', ours.distanceM[i]!, lag.distM);
        agree('variogram', ours.gamma[i]!, lag.gamma);
        agree('variogram', ours.uncorrected[i]!, lag.uncorrected);
      });
    });
  }

  it('predicts the variance that the Monte Carlo found', () => {
    const { meanDensityPerM2: mean, predictedVariance, meanSquaredError, standardErrorOfMSE } = reference.monteCarlo;
    const effortM2 = Float64Array.of(1, 1, 0.5, 2, 0.25, 4);
    const places = {
      ...columns([
        [0, 0],
        [60, 0],
        [0, 60],
        [60, 60],
        [30, 30],
        [120, 30],
      ]),
      count: effortM2.map((effort) => mean * effort),
      effortM2,
    };
    const model: VariogramModel = { kind: 'exponential', partialSill: mean ** 2, rangeM: 80, nugget: 0 };
    const { variance } = poissonKriging(places, model, Float64Array.of(30), Float64Array.of(0));
    agree('variance', variance[0]!, predictedVariance);
    closeTo(variance[0]!, meanSquaredError, { within: 3 * standardErrorOfMSE, because: 'three standard errors' });
  });

  it('refuses no place, an effort of 0, a model without a range', () => {
    const one = Float64Array.of(1);
    const places = { xM: one, yM: one, count: one, effortM2: one };
    const model: VariogramModel = { kind: 'exponential', partialSill: 1, rangeM: 80, nugget: 0 };
    const none = new Float64Array(0);
    expect(() => poissonKriging({ xM: none, yM: none, count: none, effortM2: none }, model, one, one)).toThrow(
      /places with an effort/,
    );
    expect(() => poissonKriging({ ...places, effortM2: Float64Array.of(0) }, model, one, one)).toThrow(
      /effort above 0/,
    );
    expect(() => poissonKriging(places, { ...model, rangeM: 0 }, one, one)).toThrow(/no valid model/);
  });
});
