import { indexPoints } from '../geometry/point-index.ts';

/** Nearer than this the datum itself is taken, m. */
const SAME_PLACE_M = 1e-6;

export interface InverseDistanceOptions {
  /** Exponent of the distance; 2 where omitted. */
  readonly power?: number;
  /** Nearest places used; all where omitted. */
  readonly neighbours?: number;
}

/**
 * Inverse distance weighting: Σ z·d^−p / Σ d^−p. It has no variance: never draw a map of sureness from it.
 * @param data values at places, metres
 * @param xM targets, m @param yM targets, m
 * @returns a value a target, within the range of the data
 * @source tests/reference/variogram-kriging (idw2, idw2Nmax12)
 * @cost O(targets × neighbours)
 */
export function inverseDistance(
  data: { readonly xM: Float64Array; readonly yM: Float64Array; readonly z: Float64Array },
  xM: Float64Array,
  yM: Float64Array,
  { power = 2, neighbours = data.z.length }: InverseDistanceOptions = {},
): Float64Array {
  const n = data.z.length;
  if (n < 1 || neighbours < 1)
    throw new RangeError(`inverseDistance: expected data and neighbours, got ${n} and ${neighbours}`);
  const size = Math.min(n, neighbours);
  const index = size < n ? indexPoints(data.xM, data.yM) : null;
  const near = Int32Array.from({ length: size }, (_, i) => i);
  const out = new Float64Array(xM.length);
  for (let t = 0; t < out.length; t++) {
    const count = index ? index.nearest(xM[t]!, yM[t]!, size, near) : n;
    let [sum, weights, exact] = [0, 0, NaN];
    for (let i = 0; i < count; i++) {
      const id = near[i]!;
      const dx = data.xM[id]! - xM[t]!;
      const dy = data.yM[id]! - yM[t]!;
      const squared = dx * dx + dy * dy;
      if (squared < SAME_PLACE_M * SAME_PLACE_M) {
        exact = data.z[id]!;
        break;
      }
      const weight = power === 2 ? 1 / squared : Math.pow(squared, -power / 2);
      sum += weight * data.z[id]!;
      weights += weight;
    }
    out[t] = Number.isNaN(exact) ? sum / weights : exact;
  }
  return out;
}
