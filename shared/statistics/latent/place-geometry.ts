/** What depends on the places and one practical range alone: worked out when a chain first visits that range. */
import { factorise } from '../cholesky.ts';
import { matern52 } from './matern.ts';
import type { ModelPlaces } from './places.ts';

/** Added to the diagonal of the correlations, so that two quadrats at one place are no fault. */
const JITTER = 1e-6;

export interface PlaceGeometry {
  readonly rangeM: number;
  /** n × n, both triangles, jitter included. */
  readonly correlation: Float64Array;
  /** Its Cholesky factor as `factorise` leaves it. */
  readonly factor: Float64Array;
}

/** @cost n²/2 exponentials + n³/6 */
export function placeGeometry({ xM, yM }: Pick<ModelPlaces, 'xM' | 'yM'>, rangeM: number): PlaceGeometry {
  const n = xM.length;
  const correlation = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      const dx = xM[i]! - xM[j]!;
      const dy = yM[i]! - yM[j]!;
      correlation[i * n + j] = correlation[j * n + i] = matern52(Math.sqrt(dx * dx + dy * dy), rangeM);
    }
    correlation[i * n + i] = 1 + JITTER;
  }
  const factor = correlation.slice();
  if (!factorise(factor, n, n)) throw new Error(`placeGeometry: ${n} places at range ${rangeM} m have no factor`);
  return { rangeM, correlation, factor };
}

/** L z of a factor as `factorise` leaves it (reciprocal diagonal). @cost n²/2 */
export function timesFactor(factor: Float64Array, n: number, z: Float64Array, out: Float64Array, at = 0): void {
  for (let i = 0; i < n; i++) {
    const row = i * n;
    // two sums side by side: one alone would wait for itself
    let even = z[i]! / factor[row + i]!;
    let odd = 0;
    let j = 0;
    for (; j < i - 1; j += 2) {
      even += factor[row + j]! * z[j]!;
      odd += factor[row + j + 1]! * z[j + 1]!;
    }
    if (j < i) even += factor[row + j]! * z[j]!;
    out[at + i] = even + odd;
  }
}

/** Row `row` of a matrix of n columns times x. */
export function rowTimes(matrix: Float64Array, row: number, n: number, x: Float64Array): number {
  const start = row * n;
  let even = 0;
  let odd = 0;
  let j = 0;
  for (; j < n - 1; j += 2) {
    even += matrix[start + j]! * x[j]!;
    odd += matrix[start + j + 1]! * x[j + 1]!;
  }
  if (j < n) even += matrix[start + j]! * x[j]!;
  return even + odd;
}
