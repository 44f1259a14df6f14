/**
 * A working picture of log density over a field, quick enough to be asked again for each further stop: the latent count model with sill,
 * range and clumping held at the centers of their priors, by Laplace's method. For where to look next; never for how large an infested
 * area is.
 * @source methods-spatial §7 (preview), §10
 */
import { forwardSolve } from '../statistics/cholesky.ts';
import { type FixedModel, laplaceFit } from '../statistics/latent/laplace.ts';
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

/**
 * Mean and covariance of log plants/m² at the cells. Without a stop, the prior.
 * @param priorMean of log plants/m² before any count
 * @throws as `modelPlaces`
 * @cost stops³ a round, cells² × stops; more than 250 stops are grouped
 */
export function logDensity(counted: CountedPlaces, cells: Cells, priorMean: number): LogDensity {
  const stops: ModelPlaces =
    counted.count.length > 0 ? modelPlaces(counted) : { ...counted, kFactor: new Float64Array(0) };
  const { sill, rangeM, k, meanSd } = WORKING_MODEL;
  const model: FixedModel = {
    mu: priorMean,
    muVariance: meanSd ** 2,
    sill,
    k,
    correlation: (distanceM) => matern52(distanceM, rangeM),
  };
  const { dual, weight, factor } = laplaceFit(stops, model);
  const n = stops.count.length;
  const count = cells.xM.length;
  const toStops = covarianceOf(cells, stops, model);
  const covariance = covarianceOf(cells, cells, model);
  const mean = new Float64Array(count).fill(priorMean);
  // Row c of `told`: L⁻¹W^½k of cell c; what the stops take off its covariances.
  const told = new Float64Array(count * n);
  for (let c = 0; c < count; c++) {
    const row = told.subarray(c * n, (c + 1) * n);
    for (let i = 0; i < n; i++) {
      mean[c]! += toStops[c * n + i]! * dual[i]!;
      row[i] = Math.sqrt(weight[i]!) * toStops[c * n + i]!;
    }
    forwardSolve(factor, n, n, row);
  }
  for (let a = 0; a < count; a++) {
    for (let b = 0; b <= a; b++) {
      let taken = 0;
      for (let i = 0; i < n; i++) taken += told[a * n + i]! * told[b * n + i]!;
      covariance[a * count + b]! -= taken;
      covariance[b * count + a] = covariance[a * count + b]!;
    }
  }
  return { ...cells, mean, covariance };
}

interface Points {
  readonly xM: Float64Array;
  readonly yM: Float64Array;
}

/** Rows are of `a`. */
function covarianceOf(a: Points, b: Points, { sill, muVariance, correlation }: FixedModel): Float64Array<ArrayBuffer> {
  const [rows, columns] = [a.xM.length, b.xM.length];
  const out = new Float64Array(rows * columns);
  for (let i = 0; i < rows; i++) {
    for (let j = 0; j < columns; j++) {
      const distanceM = Math.hypot(a.xM[i]! - b.xM[j]!, a.yM[i]! - b.yM[j]!);
      out[i * columns + j] = muVariance + sill * correlation(distanceM);
    }
  }
  return out;
}
