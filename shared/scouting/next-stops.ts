/**
 * Where one more count would change a decision: treat a cell or not. A cell is treated where the chance of the weed is above cost over
 * loss; what is expected to be lost by deciding wrongly is the regret, and a stop is worth the regret that it is expected to take away.
 * @source methods-spatial §10 (ours; the update of a Gaussian field by one observation is textbook conditioning); tests/reference/infested-area
 * (nextPlace)
 */
import { normalCdf } from '../statistics/special.ts';

/** What is known of log density at the cells, before any further stop. */
export interface LogDensity {
  /** Centers of the cells, m; n of each. */
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  readonly areaM2: Float64Array;
  /** Mean of log plants/m². */
  readonly mean: Float64Array;
  /** Covariance of log density between cells, n × n, row-major, symmetric. It is changed by the search. */
  readonly covariance: Float64Array;
}

export interface StopWishes {
  readonly thresholdPerM2: number;
  /** Cost of treating over the loss that it avoids where the weed is above the threshold, per area; above 0, below 1. 0.5 where neither is known. */
  readonly costOverLoss: number;
  /** Ground that one stop looks at, m². */
  readonly effortM2: number;
  /** Clumping k of the negative binomial counts. */
  readonly k: number;
  /** Cells where a stop may be. */
  readonly candidates: Int32Array;
  /** Stops are at least so far apart, m. */
  readonly apartM: number;
  readonly most: number;
}

export interface NextStop {
  readonly cell: number;
  /** Ground, m², that the stop is expected to settle: the drop of the regret, in what is lost where one cannot tell better than by a coin. */
  readonly settlesM2: number;
}

/** Nodes and weights of Gauss–Hermite quadrature with 9 points for a standard normal (Abramowitz & Stegun 1964, table 25.10; scaled by √2 and 1/√π). */
const NODES = [0, 1.0232556637891326, 2.0768479786778303, 3.2054290028564699, 4.5127458633997828];
const WEIGHTS = [
  0.40634920634920635, 0.24409750289493905, 0.049916406765217882, 0.0027891413212317693, 2.2345844007746559e-5,
];
/** A cell whose mean would move by less than this, in units of its own spread, keeps its decision. */
const NO_MOVE = 0.001;
/** A stop that settles less than this share of the ground decides nothing. */
const LEAST_SHARE = 1e-6;

/**
 * The best stops, best first; fewer than asked for where no further stop would change a decision.
 * @throws RangeError on shapes that do not fit, or numbers out of their domain
 * @cost most × candidates × cells
 */
export function* nextStops(
  known: LogDensity,
  wishes: StopWishes,
): Generator<readonly [done: number, total: number], NextStop[], void> {
  check(known, wishes);
  const { areaM2, mean, covariance } = known;
  const n = mean.length;
  const { candidates, effortM2, k, most } = wishes;
  const regretOf = regretAt(wishes);
  const ground = areaM2.reduce((sum, one) => sum + one, 0);
  const noiseAt = (cell: number) => workingNoise(mean[cell]!, covariance[cell * n + cell]!, effortM2, k);
  const free = new Uint8Array(candidates.length).fill(1);
  const chosen: NextStop[] = [];
  while (chosen.length < most) {
    let best = { at: -1, settlesM2: LEAST_SHARE * ground };
    for (let c = 0; c < candidates.length; c++) {
      if (c % 32 === 0) yield [chosen.length + c / candidates.length, most];
      if (free[c] === 0) continue;
      const settlesM2 = expectedDrop(known, candidates[c]!, noiseAt(candidates[c]!), regretOf);
      if (settlesM2 > best.settlesM2) best = { at: c, settlesM2 };
    }
    if (best.at < 0) break;
    const cell = candidates[best.at]!;
    chosen.push({ cell, settlesM2: best.settlesM2 });
    condition(covariance, n, cell, noiseAt(cell));
    for (let c = 0; c < candidates.length; c++) {
      if (distanceM(known, candidates[c]!, cell) < wishes.apartM) free[c] = 0;
    }
    free[best.at] = 0;
  }
  return chosen;
}

/**
 * Expected regret on one area: min((1 − P)·C, P·(L − C)), scaled so that it is a half where the decision stands on the edge (P = C/L). At
 * C/L of a half it is the expected misclassified share, min(P, 1 − P).
 */
function regretAt({ thresholdPerM2, costOverLoss }: StopWishes): (mean: number, sd: number) => number {
  const logThreshold = Math.log(thresholdPerM2);
  const atTheEdge = 2 * costOverLoss * (1 - costOverLoss);
  return (mean, sd) => {
    const above = sd > 0 ? normalCdf((mean - logThreshold) / sd) : mean >= logThreshold ? 1 : 0;
    return Math.min((1 - above) * costOverLoss, above * (1 - costOverLoss)) / atTheEdge;
  };
}

/**
 * Variance of one count as an observation of log density: 1/W, W = mk/(m + k) the information of a negative binomial count, at the
 * count m that is expected before it is made: density is skewed, and where nobody looked more is expected than is likeliest.
 */
function workingNoise(mean: number, variance: number, effortM2: number, k: number): number {
  return 1 / (effortM2 * Math.exp(mean + variance / 2)) + 1 / k;
}

function expectedDrop(
  { areaM2, mean, covariance }: LogDensity,
  at: number,
  noise: number,
  regretOf: (mean: number, sd: number) => number,
): number {
  const n = mean.length;
  const sdOfCount = Math.sqrt(covariance[at * n + at]! + noise);
  let drop = 0;
  for (let u = 0; u < n; u++) {
    const variance = covariance[u * n + u]!;
    const move = Math.abs(covariance[at * n + u]!) / sdOfCount;
    if (variance <= 0 || move < NO_MOVE * Math.sqrt(variance)) continue;
    const sdAfter = Math.sqrt(Math.max(0, variance - move * move));
    let after = WEIGHTS[0]! * regretOf(mean[u]!, sdAfter);
    for (let node = 1; node < NODES.length; node++) {
      const step = move * NODES[node]!;
      after += WEIGHTS[node]! * (regretOf(mean[u]! + step, sdAfter) + regretOf(mean[u]! - step, sdAfter));
    }
    drop += areaM2[u]! * (regretOf(mean[u]!, Math.sqrt(variance)) - after);
  }
  return drop;
}

/** The covariance after one observation of the field at a cell. */
function condition(covariance: Float64Array, n: number, at: number, noise: number): void {
  const total = covariance[at * n + at]! + noise;
  const row = covariance.slice(at * n, (at + 1) * n);
  for (let i = 0; i < n; i++) {
    const factor = row[i]! / total;
    if (factor === 0) continue;
    for (let j = 0; j < n; j++) covariance[i * n + j]! -= factor * row[j]!;
  }
}

function distanceM({ xM, yM }: LogDensity, a: number, b: number): number {
  return Math.hypot(xM[a]! - xM[b]!, yM[a]! - yM[b]!);
}

function check({ xM, yM, areaM2, mean, covariance }: LogDensity, wishes: StopWishes): void {
  const n = mean.length;
  if ([xM, yM, areaM2].some((one) => one.length !== n) || covariance.length !== n * n)
    throw new RangeError(`nextStops: expected ${n} cells in every array and ${n * n} covariances`);
  if (wishes.candidates.some((one) => one < 0 || one >= n)) throw new RangeError('nextStops: a candidate is no cell');
  const { thresholdPerM2, costOverLoss, effortM2, k } = wishes;
  if (!(thresholdPerM2 > 0 && effortM2 > 0 && k > 0 && costOverLoss > 0 && costOverLoss < 1))
    throw new RangeError('nextStops: threshold, effort and k must be above 0, cost over loss between 0 and 1');
}
