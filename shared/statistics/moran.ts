/** Moran's I: whether neighbours are more alike than chance. */
import { indexPoints } from '../geometry/point-index.ts';
import { stream } from './random.ts';

/** Who neighbours whom: the neighbours of i are ids[starts[i]] … ids[starts[i+1]−1], with their weights. */
export interface Neighbourhood {
  readonly starts: Int32Array;
  readonly ids: Int32Array;
  readonly weights: Float64Array;
}

export interface MoranTest {
  /** Above its expectation: neighbours are alike; below: unlike. */
  readonly index: number;
  /** −1/(n−1), where order is chance. */
  readonly expectation: number;
  /** Share of shuffles with an index at least as high, and at least as low; the data count as one. */
  readonly highP: number;
  readonly lowP: number;
}

/** The k nearest of each place, weights 1/k (row-standardised). */
export function nearestNeighbourhood(xM: Float64Array, yM: Float64Array, k: number): Neighbourhood {
  const n = xM.length;
  if (!(k >= 1 && k < n)) throw new RangeError(`nearestNeighbourhood: expected 1 … ${n - 1} neighbours, got ${k}`);
  const index = indexPoints(xM, yM);
  const found = new Int32Array(k + 1);
  const ids = new Int32Array(n * k);
  for (let i = 0; i < n; i++) {
    index.nearest(xM[i]!, yM[i]!, k + 1, found);
    let at = i * k;
    for (let j = 0; j <= k && at < (i + 1) * k; j++) if (found[j] !== i) ids[at++] = found[j]!;
  }
  return {
    starts: Int32Array.from({ length: n + 1 }, (_, i) => i * k),
    ids,
    weights: new Float64Array(n * k).fill(1 / k),
  };
}

/**
 * I = (n/Σw)·Σw(z_i − z̄)(z_j − z̄)/Σ(z − z̄)². NaN where all values are equal.
 * @param z never raw counts, one patch would make it all: ranks or log(1 + density)
 * @source Moran 1950, Biometrika 37:17–23 (memory); tests/reference/statistics (R spdep)
 * @cost O(neighbours)
 */
export function moranIndex(z: Float64Array, neighbourhood: Neighbourhood): number {
  const { starts, ids, weights } = neighbourhood;
  const n = z.length;
  const mean = z.reduce((sum, value) => sum + value, 0) / n;
  let [products, squares, total] = [0, 0, 0];
  for (let i = 0; i < n; i++) {
    const apart = z[i]! - mean;
    squares += apart * apart;
    for (let at = starts[i]!; at < starts[i + 1]!; at++) {
      products += weights[at]! * apart * (z[ids[at]!]! - mean);
      total += weights[at]!;
    }
  }
  return squares > 0 ? (n / total) * (products / squares) : NaN;
}

/** Moran's I with its p by shuffling the values over the places. @cost shuffles × O(neighbours) */
export function moranTest(z: Float64Array, neighbourhood: Neighbourhood, shuffles = 999): MoranTest {
  const index = moranIndex(z, neighbourhood);
  const random = stream(0, 'moran');
  const shuffled = z.slice();
  let [high, low] = [1, 1];
  for (let round = 0; round < shuffles; round++) {
    for (let i = shuffled.length - 1; i > 0; i--) {
      const other = random.integer(i + 1);
      const kept = shuffled[i]!;
      shuffled[i] = shuffled[other]!;
      shuffled[other] = kept;
    }
    const chance = moranIndex(shuffled, neighbourhood);
    if (chance >= index) high++;
    if (chance <= index) low++;
  }
  return { index, expectation: -1 / (z.length - 1), highP: high / (shuffles + 1), lowP: low / (shuffles + 1) };
}
