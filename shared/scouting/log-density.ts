/**
 * A working picture of log density over a field, quick enough to be asked again for each further stop: the latent count model with sill,
 * range and clumping held at the centers of their priors, by Laplace's method. For where to look next; never for how large an infested
 * area is.
 * @source methods-spatial §7 (preview), §10
 */
import { type FixedModel, laplaceCovariance, laplaceFit, laplacePredict } from '../statistics/latent/laplace.ts';
import { matern52 } from '../statistics/latent/matern.ts';
import { type CountedPlaces, type ModelPlaces, modelPlaces } from '../statistics/latent/places.ts';
import { LOG_K, LOG_RANGE, LOG_SILL, MU_SD } from '../statistics/latent/priors.ts';
import type { LogDensity } from './next-stops.ts';

export const WORKING_MODEL = {
  sill: Math.exp(LOG_SILL.mean),
  /** Practical range, m. */
  rangeM: Math.exp(LOG_RANGE.mean),
  k: Math.exp(LOG_K.mean),
  meanSd: MU_SD,
} as const;

export interface Cells {
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  readonly areaM2: Float64Array;
}

/** The field and its mean as one: what the mean may be off by is the same everywhere, and falls with every count. */
export function workingModel(priorMean: number): FixedModel {
  const { sill, rangeM, k, meanSd } = WORKING_MODEL;
  const whole = sill + meanSd ** 2;
  return {
    mu: priorMean,
    sill: whole,
    k,
    correlation: (distanceM) => (meanSd ** 2 + sill * matern52(distanceM, rangeM)) / whole,
  };
}

/**
 * Mean and covariance of log plants/m² at the cells. Without a stop, the prior.
 * @param priorMean of log plants/m² before any count
 * @throws as `modelPlaces`
 * @cost stops³ a round, cells² × stops; more than 250 stops are grouped
 */
export function logDensity(counted: CountedPlaces, cells: Cells, priorMean: number): LogDensity {
  const stops: ModelPlaces =
    counted.count.length > 0 ? modelPlaces(counted) : { ...counted, kFactor: new Float64Array(0) };
  return densityUnder(workingModel(priorMean), stops, cells);
}

/** The same under a model that is given. */
export function densityUnder(model: FixedModel, stops: ModelPlaces, cells: Cells): LogDensity {
  const fit = laplaceFit(stops, model);
  const mean = new Float64Array(cells.xM.length);
  laplacePredict(stops, model, fit, cells.xM, cells.yM, mean, new Float64Array(cells.xM.length));
  return { ...cells, mean, covariance: laplaceCovariance(stops, model, fit, cells.xM, cells.yM) };
}
