/** A first look at the latent count model, while the chains run. */
import { normalCdf } from '../special.ts';
import type { ModelCells } from './cell-geometry.ts';
import type { FixedModel } from './laplace.ts';
import { laplaceFit, laplacePredict } from './laplace.ts';
import { matern52 } from './matern.ts';
import type { CountedPlaces, ModelPlaces } from './places.ts';
import { modelPlaces } from './places.ts';
import * as priors from './priors.ts';

export interface LatentPreview {
  /** P(density > threshold) per cell. */
  readonly probability: Float64Array;
  /** Median density per cell, plants/m². */
  readonly medianPerM2: Float64Array;
  /** Variance of log density per cell. */
  readonly logVariance: Float64Array;
}

/**
 * The latent count model at the centers of its priors (s = 4, R = 200 m, k = 0.5, μ by the mean density), by Laplace's method. No ranges hang on it.
 * @param thresholdPerM2 above 0
 * @throws as `modelPlaces`, and on a threshold not above 0
 * @source methods-spatial §7, last table
 * @cost 5–15 × n³/6 + cells × n²/2
 */
export function latentPreview(
  places: CountedPlaces,
  { xM, yM }: Pick<ModelCells, 'xM' | 'yM'>,
  thresholdPerM2: number,
): LatentPreview {
  if (!(thresholdPerM2 > 0))
    throw new RangeError(`latentPreview: expected a threshold above 0 plants/m², got ${thresholdPerM2}`);
  const used = modelPlaces(places);
  const model = centralModel(used);
  const mean = new Float64Array(xM.length);
  const logVariance = new Float64Array(xM.length);
  laplacePredict(used, model, laplaceFit(used, model), xM, yM, mean, logVariance);
  const logThreshold = Math.log(thresholdPerM2);
  return {
    probability: mean.map((m, cell) => normalCdf((m - logThreshold) / Math.sqrt(logVariance[cell]!))),
    medianPerM2: mean.map(Math.exp),
    logVariance,
  };
}

/** Every parameter at the center of its prior. */
function centralModel({ count, effortM2 }: ModelPlaces): FixedModel {
  const rangeM = Math.exp(priors.LOG_RANGE.mean);
  return {
    mu: priors.priorMu(count, effortM2),
    sill: Math.exp(priors.LOG_SILL.mean),
    k: Math.exp(priors.LOG_K.mean),
    correlation: (distanceM) => matern52(distanceM, rangeM),
  };
}
