/**
 * Poisson kriging: mean density from counts in quadrats of unequal size, each count as noisy as its size makes it. For
 * mean density and total plants; never for the area above a threshold.
 */
import { factorise, forwardSolve } from './cholesky.ts';
import type { CountedPlaces } from './latent/places.ts';
import type { VariogramModel } from './variogram-model.ts';
import { correlation } from './variogram-model.ts';

/** One element a lag that holds pairs, nearest first. */
export interface PoissonVariogram {
  readonly pairs: Float64Array;
  /** Mean distance of the lag's pairs, m. */
  readonly distanceM: Float64Array;
  /** Semivariance of the density, the counts' own noise taken out; may be negative in the first lags. */
  readonly gamma: Float64Array;
  /** The same with the noise left in. */
  readonly uncorrected: Float64Array;
}

/** Σc/Σe, plants/m²; never the mean of the densities. */
export function meanDensityPerM2({ count, effortM2 }: CountedPlaces): number {
  const sum = (values: Float64Array): number => values.reduce((all, value) => all + value, 0);
  return sum(count) / sum(effortM2);
}

/**
 * γ̂(h) = Σ [w(y_i − y_j)² − m] / 2Σw of the pairs of a lag, w = e_i e_j/(e_i + e_j), y = c/e. Lag k holds
 * (k−1)·width < h ≤ k·width; pairs at distance 0 are left out.
 * @param widthM above 0 @param cutoffM above 0
 * @source methods-spatial §6, after Monestiez et al. 2006, doi 10.1016/j.ecolmodel.2005.08.042; tests/reference/poisson-kriging
 * @cost O(n²)
 */
export function poissonVariogram(places: CountedPlaces, widthM: number, cutoffM: number): PoissonVariogram {
  const { xM, yM, count, effortM2 } = places;
  const mean = meanDensityPerM2(places);
  const lags = Array.from({ length: Math.round(cutoffM / widthM) }, () => ({
    pairs: 0,
    distance: 0,
    weight: 0,
    squares: 0,
  }));
  for (let i = 1; i < count.length; i++) {
    for (let j = 0; j < i; j++) {
      const h = Math.hypot(xM[i]! - xM[j]!, yM[i]! - yM[j]!);
      const lag = lags[Math.ceil(h / widthM) - 1];
      if (!lag) continue;
      const weight = (effortM2[i]! * effortM2[j]!) / (effortM2[i]! + effortM2[j]!);
      lag.pairs++;
      lag.distance += h;
      lag.weight += weight;
      lag.squares += weight * (count[i]! / effortM2[i]! - count[j]! / effortM2[j]!) ** 2;
    }
  }
  const filled = lags.filter((lag) => lag.pairs > 0);
  return {
    pairs: Float64Array.from(filled, (lag) => lag.pairs),
    distanceM: Float64Array.from(filled, (lag) => lag.distance / lag.pairs),
    gamma: Float64Array.from(filled, (lag) => (lag.squares - mean * lag.pairs) / (2 * lag.weight)),
    uncorrected: Float64Array.from(filled, (lag) => lag.squares / (2 * lag.weight)),
  };
}

export interface PoissonKriging {
  /** Plants/m²; below 0 where a strong patch screens: clip for show, and tell how many. */
  readonly densityPerM2: Float64Array;
  /** Of the density itself, without the counts' noise. */
  readonly variance: Float64Array;
}

/**
 * Mean density at targets: ordinary kriging whose places each have m/e on the diagonal. The model's nugget is clumping
 * within quadrats, noise like the rest. Two quadrats at one place are as good as one of both.
 * @throws on no place, an effort not above 0, a model without a positive range
 * @source methods-spatial §6, after Monestiez et al. 2006; tests/reference/poisson-kriging
 * @cost n³/6 + n²/2 a target
 */
export function poissonKriging(
  places: CountedPlaces,
  model: VariogramModel,
  xM: Float64Array,
  yM: Float64Array,
): PoissonKriging {
  const n = places.count.length;
  if (n < 1 || !places.effortM2.every((effort) => effort > 0))
    throw new RangeError(`poissonKriging: expected places with an effort above 0 m², got ${n}`);
  if (!(model.rangeM > 0 && model.partialSill > 0 && model.nugget >= 0))
    throw new RangeError(`poissonKriging: no valid model, partial sill ${model.partialSill}, range ${model.rangeM} m`);
  const covariance = (dx: number, dy: number): number =>
    model.partialSill * correlation(model.kind, Math.hypot(dx, dy), model.rangeM);
  const factor = noisyFactor(places, model, covariance);
  const ones = new Float64Array(n).fill(1);
  const values = places.count.map((count, i) => count / places.effortM2[i]!);
  forwardSolve(factor, n, n, ones);
  forwardSolve(factor, n, n, values);
  const dot = (a: Float64Array, b: Float64Array): number => a.reduce((sum, value, i) => sum + value * b[i]!, 0);
  const onesSquared = dot(ones, ones);
  const mean = dot(ones, values) / onesSquared;
  const p = new Float64Array(n);
  const densityPerM2 = new Float64Array(xM.length);
  const variance = new Float64Array(xM.length);
  for (let target = 0; target < xM.length; target++) {
    for (let i = 0; i < n; i++) p[i] = covariance(places.xM[i]! - xM[target]!, places.yM[i]! - yM[target]!);
    forwardSolve(factor, n, n, p);
    const apart = 1 - dot(ones, p);
    densityPerM2[target] = dot(values, p) + mean * apart;
    variance[target] = Math.max(0, model.partialSill - dot(p, p) + (apart * apart) / onesSquared);
  }
  return { densityPerM2, variance };
}

/** Cholesky factor of the places' covariance, the noise of the counts on its diagonal. */
function noisyFactor(
  places: CountedPlaces,
  { nugget }: VariogramModel,
  covariance: (dx: number, dy: number) => number,
): Float64Array {
  const { xM, yM, effortM2 } = places;
  const n = xM.length;
  const mean = meanDensityPerM2(places);
  const matrix = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) matrix[i * n + j] = covariance(xM[i]! - xM[j]!, yM[i]! - yM[j]!);
    matrix[i * n + i]! += nugget + mean / effortM2[i]!;
  }
  if (!factorise(matrix, n, n))
    throw new RangeError('poissonKriging: the system is singular; all counts 0 at places too close together');
  return matrix;
}
