/** What one round says of one weed on one field, in the ladder's terms: counts, else patches, else a word, else nothing. */
import { type ScoutedPlace, scoutingDensity } from '../agronomy/scouting-density.ts';
import { type Range, UNKNOWN_RANGE } from '../model/range.ts';
import type { Rating } from '../model/records.ts';
import { type ClumpingRange, clumpingRange, fitNegativeBinomial } from '../statistics/dispersion.ts';
import { cleanRateBound, cleanShareBound } from '../statistics/intervals.ts';

const RANGE_LEVEL = 0.9;

export interface RoundTold {
  readonly rests: 'counts' | 'patches' | 'word' | 'nothing';
  /** Seen; null where nobody looked. */
  readonly found: boolean | null;
  readonly word: Rating | null;
  readonly patches: number;
  readonly places: number;
  readonly positives: number;
  readonly plants: number;
  readonly effortM2: number;
  /** Σc/Σe with its 90 % range; unknown without counts. */
  readonly meanPerM2: Range;
  /** Negative binomial k by maximum likelihood; null where the counts hold none, `kBecause` then says why. */
  readonly k: number | null;
  /** Its 90 % range by profile likelihood. */
  readonly kRange: ClumpingRange | null;
  readonly kBecause: string | null;
  /** Of a clean round, with 95 % confidence: the share of such places with the weed, and its density, are below these. */
  readonly clean: { readonly shareBelow: number; readonly belowPerM2: number } | null;
}

export interface RoundSeen {
  readonly places: readonly ScoutedPlace[];
  readonly rating: Rating | null;
  readonly patches: readonly unknown[];
}

const NOTHING: RoundTold = {
  rests: 'nothing',
  found: null,
  word: null,
  patches: 0,
  places: 0,
  positives: 0,
  plants: 0,
  effortM2: 0,
  meanPerM2: UNKNOWN_RANGE,
  k: null,
  kRange: null,
  kBecause: null,
  clean: null,
};

/** @param seen null: the round has nothing of this weed on this field */
export function roundTold(seen: RoundSeen | null): RoundTold {
  if (!seen) return NOTHING;
  const patches = seen.patches.length;
  if (seen.places.length > 0) return byCounts(seen);
  if (patches > 0) return { ...NOTHING, rests: 'patches', found: true, patches };
  if (seen.rating === null || seen.rating === 'not looked') return NOTHING;
  return { ...NOTHING, rests: 'word', found: seen.rating !== 'none seen', word: seen.rating };
}

function byCounts({ places, patches }: RoundSeen): RoundTold {
  const { positives, effortM2, effortSumM2, meanPerM2, dispersion, count, places: n } = scoutingDensity(places);
  return {
    rests: 'counts',
    found: positives > 0 || patches.length > 0,
    word: null,
    patches: patches.length,
    places: n,
    positives,
    plants: count.reduce((sum, one) => sum + one, 0),
    effortM2: effortSumM2,
    meanPerM2,
    k: dispersion?.k ?? null,
    kRange: dispersion?.k ? clumpingOf(count, effortM2) : null,
    kBecause: positives === 0 || dispersion?.k ? null : (dispersion?.because ?? 'a single place tells no clumping'),
    clean: positives === 0 ? { shareBelow: cleanShareBound(n), belowPerM2: cleanRateBound(effortSumM2) } : null,
  };
}

function clumpingOf(count: Float64Array, effortM2: Float64Array): ClumpingRange | null {
  const fit = fitNegativeBinomial(count, effortM2);
  return fit && clumpingRange(count, effortM2, fit, RANGE_LEVEL);
}

export type Turn =
  | 'new'
  | 'spread'
  | 'still there'
  | 'less'
  | 'gone as far as was looked'
  | 'still none as far as was looked'
  | 'cannot tell';

/** A rating's place from none to everywhere. */
const WORDS: readonly Rating[] = ['none seen', 'few', 'patches', 'throughout'];

/**
 * What became of a weed from one round to a later one, as far as both speak. More or less is said only where two 90 % ranges of the mean
 * stay clear of each other, or two words differ; words and counts are never held against each other in size.
 * Common practice for telling two means apart, no source; ranges that do not overlap are the careful form of it.
 */
export function turnOf(earlier: RoundTold, later: RoundTold): Turn {
  if (earlier.found === null || later.found === null) return 'cannot tell';
  if (!earlier.found) return later.found ? 'new' : 'still none as far as was looked';
  if (!later.found) return 'gone as far as was looked';
  if (earlier.word !== null && later.word !== null) {
    const step = WORDS.indexOf(later.word) - WORDS.indexOf(earlier.word);
    return step > 0 ? 'spread' : step < 0 ? 'less' : 'still there';
  }
  const [a, b] = [earlier.meanPerM2, later.meanPerM2];
  if (a.central === null || b.central === null) return 'still there';
  return b.low > a.high ? 'spread' : b.high < a.low ? 'less' : 'still there';
}
