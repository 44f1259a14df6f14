/** Counts of two rounds at the same places: what changed there. */
import { indexPoints } from '../geometry/point-index.ts';
import type { ScoutedPlace } from '../agronomy/scouting-density.ts';

export interface PlacePair {
  readonly earlier: ScoutedPlace;
  readonly later: ScoutedPlace;
  readonly apartM: number;
  /** Density there; 'cannot tell' where a count that stopped early leaves both open. */
  readonly turn: 'more' | 'less' | 'same' | 'cannot tell';
}

export interface SamePlaces {
  readonly pairs: readonly PlacePair[];
  readonly more: number;
  readonly less: number;
  readonly same: number;
  /** Plants per m² over all pairs then and now, Σc/Σe; null without a pair that was counted. */
  readonly earlierPerM2: number | null;
  readonly laterPerM2: number | null;
  /** Two-sided sign test of more against less: the chance of a split at least as uneven if neither were likelier. null without either. */
  readonly p: number | null;
}

/** Two positions by phone of one place may lie so far apart. */
export const SAME_PLACE_M = 10;

/**
 * Places of both rounds nearer than `SAME_PLACE_M`, each used once, the nearest first.
 * @source sign test: binomial with p = 1/2 (tests/reference/statistics holds the binomial; R binom.test)
 * @cost O(n log n) for places that do not crowd
 */
export function samePlaces(earlier: readonly ScoutedPlace[], later: readonly ScoutedPlace[]): SamePlaces {
  const pairs = pairUp(earlier, later);
  const turned = (turn: PlacePair['turn']) => pairs.filter((one) => one.turn === turn).length;
  const [more, less] = [turned('more'), turned('less')];
  const counted = pairs.filter((one) => one.earlier.presenceOnly !== true && one.later.presenceOnly !== true);
  const perM2 = (of: 'earlier' | 'later') =>
    counted.length === 0
      ? null
      : counted.reduce((sum, one) => sum + one[of].count, 0) / counted.reduce((sum, one) => sum + one[of].effortM2, 0);
  return {
    pairs,
    more,
    less,
    same: turned('same'),
    earlierPerM2: perM2('earlier'),
    laterPerM2: perM2('later'),
    p: signTest(more, less),
  };
}

function pairUp(earlier: readonly ScoutedPlace[], later: readonly ScoutedPlace[]): PlacePair[] {
  if (earlier.length === 0 || later.length === 0) return [];
  const column = (of: (one: ScoutedPlace) => number) => Float64Array.from(later, of);
  const index = indexPoints(
    column((one) => one.xM),
    column((one) => one.yM),
  );
  const most = Math.min(NEAREST, later.length);
  const near = new Int32Array(most);
  const candidates = earlier.flatMap((one, a) => {
    index.nearest(one.xM, one.yM, most, near);
    return Array.from(near, (b) => ({ a, b, apartM: Math.hypot(later[b]!.xM - one.xM, later[b]!.yM - one.yM) }));
  });
  candidates.sort((x, y) => x.apartM - y.apartM || x.a - y.a || x.b - y.b);
  const [usedA, usedB] = [new Set<number>(), new Set<number>()];
  const pairs: PlacePair[] = [];
  for (const { a, b, apartM } of candidates) {
    if (apartM > SAME_PLACE_M || usedA.has(a) || usedB.has(b)) continue;
    usedA.add(a);
    usedB.add(b);
    pairs.push({ earlier: earlier[a]!, later: later[b]!, apartM, turn: turnAt(earlier[a]!, later[b]!) });
  }
  return pairs;
}

/** Neighbors looked at for a partner. */
const NEAREST = 6;

function turnAt(earlier: ScoutedPlace, later: ScoutedPlace): PlacePair['turn'] {
  if (earlier.presenceOnly || later.presenceOnly) {
    const step = Math.sign(later.count) - Math.sign(earlier.count);
    if (step !== 0) return step > 0 ? 'more' : 'less';
    return later.count === 0 ? 'same' : 'cannot tell';
  }
  const [a, b] = [earlier.count / earlier.effortM2, later.count / later.effortM2];
  // A count that stopped early is at least that: it may be told apart from one side only.
  if (earlier.atLeast && later.atLeast) return 'cannot tell';
  if (earlier.atLeast) return b <= a ? (b < a ? 'less' : 'cannot tell') : 'cannot tell';
  if (later.atLeast) return b > a ? 'more' : 'cannot tell';
  return b > a ? 'more' : b < a ? 'less' : 'same';
}

/** @returns null where both are 0 */
export function signTest(more: number, less: number): number | null {
  const n = more + less;
  if (n === 0) return null;
  const fewer = Math.min(more, less);
  // Σ C(n, i)/2ⁿ for i up to the smaller, in logs so that many places do not overflow.
  let logTerm = -n * Math.LN2;
  let tail = 0;
  for (let i = 0; i <= fewer; i++) {
    tail += Math.exp(logTerm);
    logTerm += Math.log((n - i) / (i + 1));
  }
  return Math.min(1, 2 * tail);
}
