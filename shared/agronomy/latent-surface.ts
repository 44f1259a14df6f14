/**
 * What two chains of the latent count model say of a field, per model cell: the mean density, and how much of the field's own
 * variance the counts leave.
 */
import { normalCdf } from '../statistics/special.ts';
import type { JoinedChains } from '../statistics/latent/posterior.ts';

export interface LatentCells {
  /** Mean density, plants/m², no ground denser than the densest place. */
  readonly meanPerM2: Float64Array;
  /** Variance of the field after the counts, as a share of what it was before them (s): near 1 nothing is known. */
  readonly leftShare: Float64Array;
}

/**
 * Mean of min(density, densest): the mean of a log-normal density hangs on a tail that no count has seen, so it is cut where the
 * counts end. The variance is of the field on its own scale (u, variance 1), so that what is not known of μ and s makes no ground
 * unknown.
 * @param densestPerM2 above 0: the largest density counted
 * @source methods-spatial §7 step 6, §9 (b); the cut is ours
 * @cost kept × cells
 */
export function latentCells(chains: JoinedChains, densestPerM2: number): LatentCells {
  if (!(densestPerM2 > 0)) throw new RangeError(`latentCells: expected a largest density above 0, got ${densestPerM2}`);
  const { kept, mu, surface, variance, rangeIndex, logSill } = chains;
  const cells = surface.length / kept;
  const [meanPerM2, leftShare] = [new Float64Array(cells), new Float64Array(cells)];
  const [mean, squares] = [new Float64Array(cells), new Float64Array(cells)];
  const logDensest = Math.log(densestPerM2);
  for (let sweep = 0; sweep < kept; sweep++) {
    const ofRange = rangeIndex[sweep]! * cells;
    const sill = Math.exp(logSill[sweep]!);
    const rootSill = Math.sqrt(sill);
    for (let cell = 0; cell < cells; cell++) {
      const m = surface[sweep * cells + cell]!;
      const about = variance[ofRange + cell]!;
      const sd = rootSill * Math.sqrt(about);
      const z = (logDensest - m) / sd;
      meanPerM2[cell]! += (Math.exp(m + (sd * sd) / 2) * normalCdf(z - sd) + densestPerM2 * normalCdf(-z)) / kept;
      const u = (m - mu[sweep]!) / rootSill;
      const apart = u - mean[cell]!;
      mean[cell]! += apart / (sweep + 1);
      squares[cell]! += apart * (u - mean[cell]!);
      leftShare[cell]! += about / kept;
    }
  }
  for (let cell = 0; cell < cells; cell++) leftShare[cell]! += squares[cell]! / kept;
  return { meanPerM2, leftShare };
}
