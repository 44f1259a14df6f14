/** How clumped counts are, for quadrats of unequal size. */
import { negativeBinomialLogProbability } from './negative-binomial.ts';
import { incompleteGamma, normalQuantile } from './special.ts';

export interface NegativeBinomialFit {
  /** Mean count per unit of effort under the model; not the ratio of sums where efforts differ. */
  readonly ratePerEffort: number;
  readonly k: number;
  readonly logLikelihood: number;
}

export interface Dispersion {
  /** Σ(c − e·m)²/(e·m) with m = Σc/Σe: chi-square with n − 1 degrees of freedom where counts are random. */
  readonly chiSquare: number;
  readonly degreesOfFreedom: number;
  /** chiSquare / degreesOfFreedom: 1 is random, above 1 clumped. */
  readonly index: number;
  /** Chance of a chiSquare at least as large from random counts. */
  readonly p: number;
  /** Negative binomial k, or null where the counts do not hold one: then Poisson is used, and `because` says why. */
  readonly k: number | null;
  readonly because: string | null;
}

const LOG_LEAST_K = Math.log(1e-4);
const LOG_MOST_K = Math.log(1e4);

/** Fewer counts above 0 do not hold a k. */
export const LEAST_POSITIVES = 5;

/**
 * Index of dispersion and k of counts.
 * @param counts whole numbers @param efforts above 0, same length
 * @returns null where nothing was counted, or fewer than two quadrats
 */
export function dispersionOf(counts: ArrayLike<number>, efforts: ArrayLike<number>): Dispersion | null {
  const n = counts.length;
  const mean = rateOf(counts, efforts);
  if (n < 2 || !(mean > 0)) return null;
  let chiSquare = 0;
  let positives = 0;
  for (let i = 0; i < n; i++) {
    const expected = efforts[i]! * mean;
    chiSquare += (counts[i]! - expected) ** 2 / expected;
    if (counts[i]! > 0) positives++;
  }
  const degreesOfFreedom = n - 1;
  const index = chiSquare / degreesOfFreedom;
  const p = incompleteGamma(degreesOfFreedom / 2, chiSquare / 2).upper;
  const told = { chiSquare, degreesOfFreedom, index, p };
  if (positives < LEAST_POSITIVES) {
    return {
      ...told,
      k: null,
      because: `only ${positives} quadrat${positives === 1 ? '' : 's'} with plants: too few to tell how clumped they stand`,
    };
  }
  if (index <= 1) return { ...told, k: null, because: 'the counts vary no more than chance: no clumping to be seen' };
  const fit = fitNegativeBinomial(counts, efforts);
  return { ...told, k: fit?.k ?? null, because: fit ? null : 'no finite k fits these counts' };
}

/**
 * Negative binomial with mean effort × rate, by maximum likelihood in rate and k.
 * @returns null where k has no finite optimum (counts no more variable than chance)
 * @source tests/reference/statistics (negativeBinomialFit, negativeBinomialOffset; R optim, MASS)
 * @cost about 100 passes over the counts
 */
export function fitNegativeBinomial(counts: ArrayLike<number>, efforts: ArrayLike<number>): NegativeBinomialFit | null {
  const start = rateOf(counts, efforts);
  if (!(start > 0)) return null;
  const profile = (logK: number) => bestWith(counts, efforts, Math.exp(logK), start);
  // a coarse walk over k = 1e-4 … 1e4, then thirds around its best
  const [from, to, steps] = [LOG_LEAST_K, LOG_MOST_K, 36];
  const step = (to - from) / steps;
  let bestStep = 0;
  let best = -Infinity;
  for (let i = 0; i <= steps; i++) {
    const { logLikelihood } = profile(from + i * step);
    if (logLikelihood > best) [best, bestStep] = [logLikelihood, i];
  }
  if (bestStep === 0 || bestStep === steps) return null;
  let low = from + (bestStep - 1) * step;
  let high = from + (bestStep + 1) * step;
  while (high - low > 1e-7) {
    const a = low + (high - low) * 0.4;
    const b = high - (high - low) * 0.4;
    if (profile(a).logLikelihood < profile(b).logLikelihood) low = a;
    else high = b;
  }
  return profile((low + high) / 2);
}

export interface ClumpingRange {
  readonly low: number;
  /** null: the counts also allow no clumping at all (k without end). */
  readonly high: number | null;
}

/**
 * The k that a likelihood ratio test does not refuse, the rate free at each: the profile interval of a fit.
 * @param level 0–1, two-sided @param fit of the same counts
 * @source tests/reference/statistics (clumping.json; R: optimize over the rate, uniroot over log k)
 * @cost about 100 passes over the counts
 */
export function clumpingRange(
  counts: ArrayLike<number>,
  efforts: ArrayLike<number>,
  fit: NegativeBinomialFit,
  level: number,
): ClumpingRange {
  if (!(level > 0 && level < 1)) throw new RangeError(`clumpingRange: expected a level between 0 and 1, got ${level}`);
  const least = fit.logLikelihood - normalQuantile((1 + level) / 2) ** 2 / 2;
  const isAllowed = (logK: number) =>
    bestWith(counts, efforts, Math.exp(logK), fit.ratePerEffort).logLikelihood >= least;
  const edge = (outside: number): number => {
    let [inside, out] = [Math.log(fit.k), outside];
    while (Math.abs(out - inside) > 1e-9) {
      const middle = (inside + out) / 2;
      if (isAllowed(middle)) inside = middle;
      else out = middle;
    }
    return Math.exp(inside);
  };
  return { low: edge(LOG_LEAST_K), high: isAllowed(LOG_MOST_K) ? null : edge(LOG_MOST_K) };
}

/** The likeliest fit of all with this k. */
function bestWith(
  counts: ArrayLike<number>,
  efforts: ArrayLike<number>,
  k: number,
  start: number,
): NegativeBinomialFit {
  const ratePerEffort = bestRate(counts, efforts, k, start);
  let logLikelihood = 0;
  for (let i = 0; i < counts.length; i++)
    logLikelihood += negativeBinomialLogProbability(counts[i]!, efforts[i]! * ratePerEffort, k);
  return { ratePerEffort, k, logLikelihood };
}

/** The rate that makes Σ (c − m)·k/(m + k) zero, m = effort × rate: the left side falls with the rate. */
function bestRate(counts: ArrayLike<number>, efforts: ArrayLike<number>, k: number, start: number): number {
  let logRate = Math.log(start);
  for (let round = 0; round < 100; round++) {
    let score = 0;
    let slope = 0;
    for (let i = 0; i < counts.length; i++) {
      const m = efforts[i]! * Math.exp(logRate);
      score += ((counts[i]! - m) * k) / (m + k);
      slope += (m * k * (counts[i]! + k)) / ((m + k) * (m + k));
    }
    const move = Math.max(-1, Math.min(1, score / slope));
    logRate += move;
    if (Math.abs(move) < 1e-14) break;
  }
  return Math.exp(logRate);
}

/** Σc/Σe. */
function rateOf(counts: ArrayLike<number>, efforts: ArrayLike<number>): number {
  if (counts.length !== efforts.length)
    throw new RangeError(`dispersion: ${counts.length} counts for ${efforts.length} efforts`);
  let [count, effort] = [0, 0];
  for (let i = 0; i < counts.length; i++) {
    count += counts[i]!;
    effort += efforts[i]!;
  }
  return count / effort;
}
