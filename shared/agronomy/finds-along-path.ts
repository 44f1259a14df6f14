/** Whether plants were found along the machine's passes: the sign of strips, which no map of points can draw. */
import { stream } from '../statistics/random.ts';

export interface FindsAt {
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  readonly count: Float64Array;
}

/** Two places stand in one line where they are this near across it (a standard deviation) and so near along it. */
const ACROSS_M = 20;
const ALONG_M = 300;
const DIRECTIONS = 36;
/** Directions within 10° of the path are the path's own. */
const OWN_DIRECTIONS = 2;
const SHUFFLES = 199;
const ALPHA = 0.05;
/** Below this many places with plants, or without, lines mean nothing. */
const LEAST_OF_EACH = 8;
/** Beyond this many standard deviations across it is no line. */
const WIDEST = 3.5;

/**
 * Whether places with plants line up along a direction more than chance would have it: more than in 95 % of shuffles
 * (seeded) of which places have plants, and more than along each of 33 directions farther than 10° from it. The second is
 * what tells strips from patches, which make neighbors alike in every direction.
 * On simulated fields with at least 8 finds (of 60 a kind and k; k of 0.2, 0.8 and 2) it says yes in 42 % of strips, 2–4 % of
 * soft, exponential, sharp-edged and log-Gaussian patches at 60 quadrats; in 71 % and 8 % at 200.
 * @param given fewer than 8 with plants, or without: no
 * @param direction main direction of the harvest path, radians from x towards y
 * @source ours; measured on the fields of tests/support/simulated-truths.ts, the kinds of methods-spatial §8
 * @cost n²/2 × 36
 */
export function findsFollowPath(given: FindsAt, direction: number): boolean {
  const places = inOrder(given);
  const has = Float64Array.from(places.count, (count) => (count > 0 ? 1 : 0));
  const positives = has.reduce((sum, one) => sum + one, 0);
  if (positives < LEAST_OF_EACH || has.length - positives < LEAST_OF_EACH) return false;
  const apart = has.map((one) => one - positives / has.length);
  const alike = alikeAlong(places, apart, direction);
  const own = alike[0]!;
  for (let d = OWN_DIRECTIONS; d <= DIRECTIONS - OWN_DIRECTIONS; d++) if (alike[d]! >= own) return false;
  return beatsShuffles(linesAlong(places, direction), apart);
}

/** From west to east, whatever order they came in: the shuffles hang on it. */
function inOrder({ xM, yM, count }: FindsAt): FindsAt {
  const order = Array.from(count.keys()).sort((a, b) => xM[a]! - xM[b]! || yM[a]! - yM[b]! || count[a]! - count[b]!);
  const take = (values: Float64Array): Float64Array => Float64Array.from(order, (i) => values[i]!);
  return { xM: take(xM), yM: take(yM), count: take(count) };
}

/** How alike places in one line are, for each of 36 directions from the given one on: weighted mean product of deviations. */
function alikeAlong({ xM, yM }: FindsAt, apart: Float64Array, direction: number): Float64Array {
  const sums = new Float64Array(DIRECTIONS);
  const weights = new Float64Array(DIRECTIONS);
  const turns = Array.from({ length: DIRECTIONS }, (_, d) => direction + (d * Math.PI) / DIRECTIONS);
  const [cos, sin] = [turns.map(Math.cos), turns.map(Math.sin)];
  for (let i = 0; i < apart.length; i++) {
    for (let j = 0; j < i; j++) {
      const [dx, dy] = [xM[i]! - xM[j]!, yM[i]! - yM[j]!];
      if (dx * dx + dy * dy > ALONG_M * ALONG_M) continue;
      const product = apart[i]! * apart[j]!;
      for (let d = 0; d < DIRECTIONS; d++) {
        const weight = weightAt(cos[d]! * dy - sin[d]! * dx);
        sums[d]! += weight * product;
        weights[d]! += weight;
      }
    }
  }
  return sums.map((sum, d) => (weights[d]! > 0 ? sum / weights[d]! : -Infinity));
}

function weightAt(acrossM: number): number {
  const z = acrossM / ACROSS_M;
  return Math.abs(z) > WIDEST ? 0 : Math.exp(-0.5 * z * z);
}

interface Lines {
  readonly one: number[];
  readonly other: number[];
  readonly weight: number[];
}

/** Pairs of places that stand in one line. */
function linesAlong({ xM, yM }: FindsAt, direction: number): Lines {
  const [c, s] = [Math.cos(direction), Math.sin(direction)];
  const lines: Lines = { one: [], other: [], weight: [] };
  for (let i = 0; i < xM.length; i++) {
    for (let j = 0; j < i; j++) {
      const [dx, dy] = [xM[i]! - xM[j]!, yM[i]! - yM[j]!];
      const weight = dx * dx + dy * dy > ALONG_M * ALONG_M ? 0 : weightAt(c * dy - s * dx);
      if (weight === 0) continue;
      lines.one.push(i);
      lines.other.push(j);
      lines.weight.push(weight);
    }
  }
  return lines;
}

function beatsShuffles({ one, other, weight }: Lines, apart: Float64Array): boolean {
  const random = stream(1, 'finds along the path', apart.length);
  const sumOf = (values: Float64Array): number => {
    let sum = 0;
    for (let line = 0; line < weight.length; line++) sum += weight[line]! * values[one[line]!]! * values[other[line]!]!;
    return sum;
  };
  const seen = sumOf(apart);
  const shuffled = apart.slice();
  let asLarge = 1;
  for (let shuffle = 0; shuffle < SHUFFLES; shuffle++) {
    for (let i = shuffled.length - 1; i > 0; i--) {
      const j = random.integer(i + 1);
      [shuffled[i], shuffled[j]] = [shuffled[j]!, shuffled[i]!];
    }
    if (sumOf(shuffled) >= seen - 1e-12) asLarge++;
  }
  return asLarge <= ALPHA * (SHUFFLES + 1);
}
