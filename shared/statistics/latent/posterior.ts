/** What two chains say together, at any threshold, on any part of the field. */
import { quantile } from '../quantile.ts';
import { COARSE_JITTER } from './cell-geometry.ts';
import type { ChainResult } from './chain.ts';
import { DRAWS, eitherVariance, joined } from './chain-record.ts';
import { tabledNormalCdf } from './normal-table.ts';
import { RANGES_M, rangeOf, RATIOS, ratioOf } from './priors.ts';

/** Both chains' kept sweeps, those of chain 0 first. */
export type JoinedChains = Omit<ChainResult, 'chain' | 'parts' | 'state'> & {
  /** Kept sweeps of chain 0. */
  readonly keptFirst: number;
};

/**
 * Puts two chains of one input together; which is given first changes nothing.
 * @throws on chains of one number or of other cells
 */
export function joinChains(one: ChainResult, other: ChainResult): JoinedChains {
  if (one.chain === other.chain) throw new RangeError(`joinChains: expected two chains, got chain ${one.chain} twice`);
  if (one.variance.length !== other.variance.length) throw new RangeError('joinChains: the chains are of other cells');
  const [a, b] = one.chain < other.chain ? [one, other] : [other, one];
  return {
    keptFirst: a.kept,
    kept: a.kept + b.kept,
    mu: joined(a.mu, b.mu),
    logSill: joined(a.logSill, b.logSill),
    logK: joined(a.logK, b.logK),
    rangeIndex: joined(a.rangeIndex, b.rangeIndex),
    surface: joined(a.surface, b.surface),
    variance: eitherVariance(a.variance, b.variance),
    draws: joined(a.draws, b.draws),
  };
}

/** Posterior means of the parameters, on the scales they are sampled on, brought back: geometric means of k, s and R. */
export interface LatentParameters {
  readonly mu: number;
  readonly sill: number;
  readonly k: number;
  /** Practical range, m; where a path is given, that of a circle as large as the ellipse it reaches over. */
  readonly rangeM: number;
}

export function latentParameters({ mu, logSill, logK, rangeIndex }: JoinedChains): LatentParameters {
  const mean = (values: Float64Array): number => values.reduce((sum, value) => sum + value, 0) / values.length;
  return {
    mu: mean(mu),
    sill: Math.exp(mean(logSill)),
    k: Math.exp(mean(logK)),
    rangeM: Math.exp(
      mean(Float64Array.from(rangeIndex, (i) => Math.log(RANGES_M[rangeOf(i)]! / Math.sqrt(RATIOS[ratioOf(i)]!)))),
    ),
  };
}

/** Where the density is above a threshold, and how large that is. */
export interface Above {
  /** P(density > threshold) per cell, 0–1; of every cell, counted or not. */
  readonly probability: Float64Array;
  /** Share of the counted area above the threshold: Σ area × probability / Σ area. NaN where no area is counted. */
  readonly share: number;
  /** The same of each chain alone. */
  readonly shareOfChain: readonly [number, number];
  /** The share in each joint draw, 3 a kept sweep; none where no coarse cell is counted. */
  readonly drawnShares: Float64Array;
}

/**
 * P(density > threshold) and the joint draws' shares. A draw runs over the coarse cells; what the fine cells' mean
 * probability has over the coarse cells' is added to it, and it is held within 0–1.
 * @param thresholdPerM2 above 0 @param areaM2 per cell: the area that counts, 0 for a cell that is not known
 * @source methods-spatial §7 step 6, §8
 * @cost kept × cells normal probabilities: tens of milliseconds
 */
export function aboveThreshold(
  chains: JoinedChains,
  coarse: Int32Array,
  thresholdPerM2: number,
  areaM2: Float64Array,
): Above {
  const { kept, keptFirst, surface, draws, rangeIndex, logSill, variance } = chains;
  const cells = areaM2.length;
  if (surface.length !== kept * cells || draws.length !== kept * DRAWS * coarse.length)
    throw new RangeError(`aboveThreshold: ${cells} areas and ${coarse.length} coarse cells do not fit the chains`);
  if (!(thresholdPerM2 > 0))
    throw new RangeError(`aboveThreshold: expected a threshold above 0 plants/m², got ${thresholdPerM2}`);
  const logThreshold = Math.log(thresholdPerM2);
  const total = areaM2.reduce((sum, area) => sum + area, 0);
  const coarseTotal = coarse.reduce((sum, cell) => sum + areaM2[cell]!, 0);
  const probability = new Float64Array(cells);
  const drawnShares = new Float64Array(coarseTotal > 0 ? kept * DRAWS : 0);
  const inChain: [number, number] = [0, 0];
  for (let sweep = 0; sweep < kept; sweep++) {
    const row = sweep * cells;
    const ofRange = rangeIndex[sweep]! * cells;
    const rootSill = Math.exp(logSill[sweep]! / 2);
    let fine = 0;
    for (let cell = 0; cell < cells; cell++) {
      const p = tabledNormalCdf(
        (surface[row + cell]! - logThreshold) / (rootSill * Math.sqrt(variance[ofRange + cell]!)),
      );
      probability[cell]! += p / kept;
      fine += p * areaM2[cell]!;
    }
    fine /= total;
    inChain[sweep < keptFirst ? 0 : 1] += fine;
    if (coarseTotal === 0) continue;
    let control = 0;
    for (const cell of coarse) {
      const spread = rootSill * Math.sqrt(variance[ofRange + cell]! + COARSE_JITTER);
      control += tabledNormalCdf((surface[row + cell]! - logThreshold) / spread) * areaM2[cell]!;
    }
    control /= coarseTotal;
    for (let draw = 0; draw < DRAWS; draw++) {
      const at = (sweep * DRAWS + draw) * coarse.length;
      let above = 0;
      for (let i = 0; i < coarse.length; i++) if (draws[at + i]! > logThreshold) above += areaM2[coarse[i]!]!;
      drawnShares[sweep * DRAWS + draw] = Math.min(1, Math.max(0, above / coarseTotal + fine - control));
    }
  }
  return {
    probability,
    share: (inChain[0] + inChain[1]) / kept,
    shareOfChain: [inChain[0] / keptFirst, inChain[1] / (kept - keptFirst)],
    drawnShares,
  };
}

const SETTLED_WITHIN = 0.25;

/** Whether two chains' mean areas differ by less than a quarter of the draws' 90 % width. @source methods-spatial §7 step 8 */
export function chainsSettled({ shareOfChain: [a, b], drawnShares }: Above): boolean {
  if (drawnShares.length === 0) return false;
  const width = quantile(drawnShares, 0.95) - quantile(drawnShares, 0.05);
  return a === b || Math.abs(a - b) < SETTLED_WITHIN * width;
}
