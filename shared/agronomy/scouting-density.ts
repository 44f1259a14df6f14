/** What the counts of one round say of a field's mean density, before any map. */
import { indexPoints } from '../geometry/point-index.ts';
import type { Range } from '../model/range.ts';
import type { Dispersion } from '../statistics/dispersion.ts';
import { dispersionOf } from '../statistics/dispersion.ts';
import { poissonRateInterval } from '../statistics/intervals.ts';
import type { MoranTest } from '../statistics/moran.ts';
import { moranTest, nearestNeighbourhood } from '../statistics/moran.ts';
import { quantile } from '../statistics/quantile.ts';

/** One place of one round and species: counts and efforts of all that was looked at there added. */
export interface ScoutedPlace {
  readonly xM: number;
  readonly yM: number;
  /** m² looked at. */
  readonly effortM2: number;
  /** Plants; 1 for "present", 0 for "absent", c for "c or more". */
  readonly count: number;
  readonly presenceOnly?: boolean;
  readonly atLeast?: boolean;
}

/** Places as columns, and what they sum to. */
export interface ScoutingDensity {
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  readonly effortM2: Float64Array;
  readonly count: Float64Array;
  /** count / effort, plants/m². */
  readonly densityPerM2: Float64Array;
  readonly places: number;
  readonly positives: number;
  readonly effortSumM2: number;
  /** Σc/Σe with its 90 % interval; null where there is no place. */
  readonly meanPerM2: Range;
  readonly dispersion: Dispersion | null;
  /** Median distance to the nearest other place, m; null below two places. */
  readonly spacingM: number | null;
  /** Whether neighbouring places are alike; null below 8 places or where all densities are equal. */
  readonly pattern: Pattern | null;
  /** Sentences on what had to be read as something else. */
  readonly notes: readonly string[];
}

/** One word on how a weed stands, from Moran's I of log(1 + density) and 999 shuffles (99 above 2000 places). */
export interface Pattern extends MoranTest {
  readonly word: 'patchy' | 'even' | 'cannot tell';
}

const PATTERN_FROM = 8;
const PATTERN_NEIGHBOURS = 8;
const PATTERN_P = 0.05;
const SHUFFLES = 999;
/** A shuffle costs as much as there are places; among many, few shuffles tell order from chance at 0.05. */
const MANY_PLACES = 2000;
const FEWER_SHUFFLES = 99;

/** Two-sided; its upper end where nothing was found is the 95 % bound 3.0/Σe. */
export const INTERVAL_LEVEL = 0.9;

/**
 * Mean density Σc/Σe (never the mean of the densities), its exact Poisson interval widened by the index of dispersion,
 * and how clumped the counts are. Places at the very same spot are added. "Present" counts as 1 plant and "c or more" as
 * c, which is told.
 * @throws on an effort that is not above 0 or a count that is not a number from 0
 * @source methods-spatial §3.1–3.4; the widening (counts and effort both divided by the index where above 1) is ours
 * @cost O(n log n)
 */
export function scoutingDensity(all: readonly ScoutedPlace[]): ScoutingDensity {
  for (const { effortM2, count } of all) {
    if (!(effortM2 > 0) || !(count >= 0))
      throw new RangeError(`scoutingDensity: expected effort above 0 m² and a count, got ${effortM2} and ${count}`);
  }
  const merged = addSameSpot(all);
  const n = merged.length;
  const column = (of: (place: ScoutedPlace) => number): Float64Array => Float64Array.from(merged, of);
  const [xM, yM] = [column((p) => p.xM), column((p) => p.yM)];
  const [effortM2, count] = [column((p) => p.effortM2), column((p) => p.count)];
  const densityPerM2 = count.map((c, i) => c / effortM2[i]!);
  const effortSumM2 = effortM2.reduce((sum, e) => sum + e, 0);
  const plants = count.reduce((sum, c) => sum + c, 0);
  const dispersion = dispersionOf(count, effortM2);
  const clumping = Math.max(1, dispersion?.index ?? 1);

  const notes: string[] = [];
  const presences = merged.filter((p) => p.presenceOnly && p.count > 0).length;
  const capped = merged.filter((p) => p.atLeast).length;
  if (presences > 0)
    notes.push(
      `${inPlaces(presences)} the plant was only marked present, which is read as one plant: the true density is higher.`,
    );
  if (capped > 0)
    notes.push(
      `${inPlaces(capped)} the count stopped early ("so many or more") and is read as that many: the true density is higher.`,
    );
  if (n === 1)
    notes.push('One quadrat cannot tell how clumped the plants are: the range of the mean counts chance alone.');
  return {
    xM,
    yM,
    effortM2,
    count,
    densityPerM2,
    places: n,
    positives: count.reduce((sum, c) => sum + (c > 0 ? 1 : 0), 0),
    effortSumM2,
    meanPerM2:
      n === 0
        ? { low: null, central: null, high: null }
        : {
            central: plants / effortSumM2,
            ...poissonRateInterval(plants / clumping, effortSumM2 / clumping, INTERVAL_LEVEL),
          },
    dispersion,
    spacingM: n < 2 ? null : medianNearestM(xM, yM),
    pattern: patternOf(xM, yM, densityPerM2),
    notes,
  };
}

function inPlaces(count: number): string {
  return count === 1 ? 'At one place' : `At ${count} places`;
}

function addSameSpot(all: readonly ScoutedPlace[]): ScoutedPlace[] {
  const bySpot = new Map<string, ScoutedPlace>();
  for (const place of all) {
    const spot = `${place.xM} ${place.yM}`;
    const known = bySpot.get(spot);
    bySpot.set(
      spot,
      !known
        ? place
        : {
            ...known,
            effortM2: known.effortM2 + place.effortM2,
            count: known.count + place.count,
            presenceOnly: known.presenceOnly === true || place.presenceOnly === true,
            atLeast: known.atLeast === true || place.atLeast === true,
          },
    );
  }
  return [...bySpot.values()];
}

/** Patchy: neighbours more alike than in 95 % of shuffles; even: less alike than in 95 %. Which words is ours. @source methods-spatial §12 */
function patternOf(xM: Float64Array, yM: Float64Array, densityPerM2: Float64Array): Pattern | null {
  const n = densityPerM2.length;
  if (n < PATTERN_FROM || densityPerM2.every((d) => d === densityPerM2[0])) return null;
  const neighbourhood = nearestNeighbourhood(xM, yM, Math.min(PATTERN_NEIGHBOURS, n - 1));
  const test = moranTest(densityPerM2.map(Math.log1p), neighbourhood, n > MANY_PLACES ? FEWER_SHUFFLES : SHUFFLES);
  return { ...test, word: test.highP <= PATTERN_P ? 'patchy' : test.lowP <= PATTERN_P ? 'even' : 'cannot tell' };
}

function medianNearestM(xM: Float64Array, yM: Float64Array): number {
  const index = indexPoints(xM, yM);
  const two = new Int32Array(2);
  const distances = xM.map((x, i) => {
    index.nearest(x, yM[i]!, 2, two);
    const other = two[0] === i ? two[1]! : two[0]!;
    return Math.hypot(xM[other]! - x, yM[other]! - yM[i]!);
  });
  return quantile(distances, 0.5);
}
