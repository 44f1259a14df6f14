/** How the field at the model cells hangs on the field at the places, for one practical range. */
import { backwardSolve, factorise, forwardSolve, forwardSolveFour } from '../cholesky.ts';
import { matern52 } from './matern.ts';
import type { ModelPlaces } from './places.ts';
import type { PlaceGeometry } from './place-geometry.ts';
import { rowTimes, timesFactor } from './place-geometry.ts';

/** Where the map is worked out: metres in the places' frame. */
export interface ModelCells {
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  /** The cells that joint draws run over: a regular subset of at most 200. */
  readonly coarse: Int32Array;
}

export interface CellGeometry {
  /** cells × n correlations. */
  readonly cross: Float64Array;
  /** Variance of the field at each cell given the field at the places, as a share of s. */
  readonly variance: Float64Array;
  /** Cholesky factor of the coarse cells' covariance given the places. */
  readonly coarseFactor: Float64Array;
}

const LEAST_VARIANCE = 1e-6;
/** Added to the coarse cells' variance. */
export const COARSE_JITTER = 1e-5;

/** @cost cells × n exponentials + cells × n²/2 + coarse² n/2 + coarse³/6 */
export function cellGeometry(
  places: Pick<ModelPlaces, 'xM' | 'yM'>,
  { xM, yM, coarse }: ModelCells,
  { rangeM, factor }: PlaceGeometry,
): CellGeometry {
  const n = places.xM.length;
  const cells = xM.length;
  const cross = new Float64Array(cells * n);
  for (let cell = 0, at = 0; cell < cells; cell++) {
    for (let j = 0; j < n; j++, at++) {
      const dx = xM[cell]! - places.xM[j]!;
      const dy = yM[cell]! - places.yM[j]!;
      cross[at] = matern52(Math.sqrt(dx * dx + dy * dy), rangeM);
    }
  }
  const whitened = new Float64Array(coarse.length * n);
  const coarseAt = new Int32Array(cells).fill(-1);
  coarse.forEach((cell, at) => (coarseAt[cell] = at));
  const variance = new Float64Array(cells);
  const four = new Float64Array(4 * n);
  for (let first = 0; first < cells; first += 4) {
    const last = Math.min(cells - 1, first + 3);
    for (let j = 0; j < n; j++) for (let c = 0; c < 4; c++) four[4 * j + c] = cross[Math.min(last, first + c) * n + j]!;
    forwardSolveFour(factor, n, n, four);
    for (let cell = first; cell <= last; cell++) {
      const row = coarseAt[cell]! * n;
      let taken = 0;
      for (let j = 0; j < n; j++) {
        const value = four[4 * j + cell - first]!;
        taken += value * value;
        if (row >= 0) whitened[row + j] = value;
      }
      variance[cell] = Math.max(LEAST_VARIANCE, 1 - taken);
    }
  }
  return { cross, variance, coarseFactor: coarseFactor({ xM, yM, coarse }, rangeM, whitened, n) };
}

function coarseFactor({ xM, yM, coarse }: ModelCells, rangeM: number, whitened: Float64Array, n: number): Float64Array {
  const m = coarse.length;
  const covariance = new Float64Array(m * m);
  const row = new Float64Array(n);
  for (let i = 0; i < m; i++) {
    row.set(whitened.subarray(i * n, i * n + n));
    for (let j = 0; j <= i; j++) {
      const dx = xM[coarse[i]!]! - xM[coarse[j]!]!;
      const dy = yM[coarse[i]!]! - yM[coarse[j]!]!;
      covariance[i * m + j] = matern52(Math.sqrt(dx * dx + dy * dy), rangeM) - rowTimes(whitened, j, n, row);
    }
    covariance[i * m + i]! += COARSE_JITTER;
  }
  if (!factorise(covariance, m, m))
    throw new Error(`cellGeometry: ${m} coarse cells at range ${rangeM} m have no factor`);
  return covariance;
}

/** Field of variance 1 expected at every cell given the field u at the places: R_cn R⁻¹u. @param work n numbers, overwritten */
export function expectedAtCells(
  { cross }: CellGeometry,
  { factor }: PlaceGeometry,
  u: Float64Array,
  work: Float64Array,
  out: Float64Array,
): void {
  const n = u.length;
  work.set(u);
  forwardSolve(factor, n, n, work);
  backwardSolve(factor, n, n, work);
  for (let cell = 0; cell < out.length; cell++) out[cell] = rowTimes(cross, cell, n, work);
}

/** What a joint draw adds to the expected field at the coarse cells. */
export function drawnAtCoarse({ coarseFactor }: CellGeometry, z: Float64Array, out: Float64Array): void {
  timesFactor(coarseFactor, z.length, z, out);
}
