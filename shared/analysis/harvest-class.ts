/** How clean a field is when the combine comes, in four words: what decides who goes first where nothing finer is known. */
import { RATING_DENSITIES } from '../agronomy/rating-densities.ts';
import type { InfestationFacts, WeedFacts } from './steps/infestation-facts.ts';

export type HarvestClass = 'clean' | 'traces' | 'not looked' | 'infested' | 'heavily infested';

/**
 * Cleanest first. A field that nobody looked at stands in the middle: after those known to be clean, which it could soil, and before
 * those known to be infested, which could soil it.
 */
export const HARVEST_CLASSES: readonly HarvestClass[] = [
  'clean',
  'traces',
  'not looked',
  'infested',
  'heavily infested',
];

/**
 * Shares of the field's ground above a weed's threshold from which it is *infested* and *heavily infested*: the least and the most that
 * the rating "patches" stands for (*assumed*, no source).
 */
export const INFESTED_FROM = RATING_DENSITIES['patches']!.areaFraction.low;
export const HEAVILY_FROM = RATING_DENSITIES['patches']!.areaFraction.high;

export interface ClassOfWeed {
  readonly is: HarvestClass;
  readonly species: string;
  /** Above the threshold, of the field's ground; null where it cannot be told. */
  readonly infestedFraction: number | null;
}

/** The class of the worst weed, and which that is; null where nobody looked for any. */
export function worstWeed(facts: InfestationFacts | null, areaM2: number): ClassOfWeed | null {
  const seen = (facts?.weeds ?? []).filter((one) => one.map.basis !== 'nothing').map((one) => classOf(one, areaM2));
  if (seen.length === 0) return null;
  return seen.reduce((worst, one) =>
    rankOf(one.is) > rankOf(worst.is) ||
    (one.is === worst.is && (one.infestedFraction ?? 0) > (worst.infestedFraction ?? 0))
      ? one
      : worst,
  );
}

export function rankOf(is: HarvestClass): number {
  return HARVEST_CLASSES.indexOf(is);
}

function classOf({ species, map }: WeedFacts, areaM2: number): ClassOfWeed {
  const area = map.infestedAreaM2.central;
  const infestedFraction = area === null ? null : area / areaM2;
  const is =
    infestedFraction !== null && infestedFraction >= HEAVILY_FROM
      ? 'heavily infested'
      : infestedFraction !== null && infestedFraction >= INFESTED_FROM
        ? 'infested'
        : wasFound(map)
          ? 'traces'
          : 'clean';
  return { is, species, infestedFraction };
}

/** Behind "none seen" stands a density too, for weeds that were overlooked: it is not a find. */
function wasFound({ basis, positives, meanDensityPerM2 }: WeedFacts['map']): boolean {
  if (basis === 'rating') return (meanDensityPerM2.central ?? 0) >= RATING_DENSITIES['few']!.densityPerM2.central;
  return basis === 'drawn patches' || positives > 0;
}
