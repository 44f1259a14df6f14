/** How large the infested area is by the latent count model, with a range that holds what the model cannot know. */
import type { Interval } from '../statistics/intervals.ts';
import type { CountedPlaces } from '../statistics/latent/places.ts';
import type { Above, JoinedChains, LatentParameters } from '../statistics/latent/posterior.ts';
import { aboveThreshold, chainsSettled, latentParameters } from '../statistics/latent/posterior.ts';
import { quantile } from '../statistics/quantile.ts';
import { countingBound, FEW_POSITIVES } from './infested-area.ts';

export interface InfestedRangeInput {
  readonly chains: JoinedChains;
  /** The model cells that the joint draws ran over. */
  readonly coarse: Int32Array;
  /** Known area of each model cell, m²; 0 where nothing is known. */
  readonly areaM2: Float64Array;
  readonly thresholdPerM2: number;
  /** The quadrats as they were counted, before any grouping. */
  readonly places: CountedPlaces;
  /** Median distance to the nearest other place, m; null below two places. */
  readonly spacingM: number | null;
  /** Whether plants were found along the harvest path's own lines: strips, then. */
  readonly findsFollowPath: boolean;
}

/**
 * What to say with the range, the first that holds: the chains disagree (no surface) · fewer than 8 quadrats with plants ·
 * strips narrower than the spacing cannot be drawn (no percentage) · counts jump from quadrat to quadrat · nothing more.
 */
export type RangeSaying = 'not settled' | 'few finds' | 'strips' | 'clumped' | 'plain';

export interface InfestedRange {
  readonly saying: RangeSaying;
  /** Σ area × P(density > threshold) of the known cells; null where the chains are not settled or nothing is known. */
  readonly centralM2: number | null;
  /** 90 and 80 % ranges of the infested area within the known area, m². */
  readonly range90M2: Interval;
  readonly range80M2: Interval;
  readonly knownAreaM2: number;
  readonly quadrats: number;
  readonly positives: number;
  /** At the threshold fewer than one in two quadrats would be expected to hold a plant: no method can tell. */
  readonly quadratsTooSmall: boolean;
  /** Geometric means over the chains. */
  readonly parameters: LatentParameters;
  /** The map: P(density > threshold) of every model cell. Not to be shown where the chains are not settled. */
  readonly probability: Float64Array;
}

/** Standard deviation of the log of what patch shape may do to the area; no count of this size can tell it. */
const SHAPE_ALLOWANCE = 0.2;
/** Middles of nine equal parts of a standard normal. */
const SHAPE_NODES = [-1.593, -0.967, -0.589, -0.282, 0, 0.282, 0.589, 0.967, 1.593];
const CLUMPED_BELOW_K = 0.3;
const STRIPS_WITHIN_SPACINGS = 4;
const LEAST_EXPECTED_PLANTS = 0.5;

/**
 * The infested area of the known ground. 90 % and 80 % ranges: the joint draws, widened by the shape allowance; joined
 * with the counting bound below 8 quadrats with plants; the counting bound alone where the chains are not settled.
 * @throws on areas that do not fit the chains, or a threshold not above 0
 * @source methods-spatial §8; tests/reference/infested-area (exact: shapeAllowance, countingBound)
 * @valid as tested: 20–500 quadrats of 0.25–2 m², 1 plant/m² (some 0.3), patches; strips hold in about 85 %
 */
export function infestedRange(input: InfestedRangeInput): InfestedRange {
  const { chains, coarse, areaM2, thresholdPerM2, places } = input;
  const above = aboveThreshold(chains, coarse, thresholdPerM2, areaM2);
  const parameters = latentParameters(chains);
  const knownAreaM2 = areaM2.reduce((sum, area) => sum + area, 0);
  const positives = places.count.reduce((sum, count) => sum + (count > 0 ? 1 : 0), 0);
  const settled = chainsSettled(above);
  const inM2 = (level: number): Interval => {
    const { low, high } = shareRange(level, above, settled, positives, places.effortM2, parameters.k, thresholdPerM2);
    return { low: low * knownAreaM2, high: high * knownAreaM2 };
  };
  const effortM2 = places.effortM2.reduce((sum, effort) => sum + effort, 0);
  return {
    saying: sayingOf(input, settled, positives, parameters),
    centralM2: settled ? above.share * knownAreaM2 : null,
    range90M2: inM2(0.9),
    range80M2: inM2(0.8),
    knownAreaM2,
    quadrats: places.count.length,
    positives,
    quadratsTooSmall: thresholdPerM2 * (effortM2 / places.count.length) < LEAST_EXPECTED_PLANTS,
    parameters,
    probability: above.probability,
  };
}

/**
 * Quantiles of the draws' shares, each widened by what patch shape may do: nine times as many, each held at `most`.
 * @param level 0–1, two-sided @param most the largest a share can be
 */
export function widenedRange(shares: Float64Array, level: number, allowance = SHAPE_ALLOWANCE, most = 1): Interval {
  const widened = new Float64Array(shares.length * SHAPE_NODES.length);
  SHAPE_NODES.forEach((z, node) => {
    const factor = Math.exp(allowance * z);
    for (let i = 0; i < shares.length; i++) widened[node * shares.length + i] = Math.min(most, shares[i]! * factor);
  });
  const tail = (1 - level) / 2;
  return { low: quantile(widened, tail), high: quantile(widened, 1 - tail) };
}

function shareRange(
  level: number,
  { drawnShares }: Above,
  settled: boolean,
  positives: number,
  effortM2: Float64Array,
  k: number,
  thresholdPerM2: number,
): Interval {
  const widened = settled ? widenedRange(drawnShares, level) : null;
  if (widened && positives >= FEW_POSITIVES) return widened;
  const counted = countingBound(positives, effortM2, k, thresholdPerM2, level);
  if (!widened) return counted;
  return { low: Math.min(widened.low, counted.low), high: Math.max(widened.high, counted.high) };
}

function sayingOf(
  { spacingM, findsFollowPath }: InfestedRangeInput,
  settled: boolean,
  positives: number,
  { k, rangeM }: LatentParameters,
): RangeSaying {
  if (!settled) return 'not settled';
  if (positives < FEW_POSITIVES) return 'few finds';
  const clumped = k < CLUMPED_BELOW_K;
  const short = spacingM !== null && rangeM < STRIPS_WITHIN_SPACINGS * spacingM;
  if (findsFollowPath || (clumped && short)) return 'strips';
  return clumped ? 'clumped' : 'plain';
}
