/** Intervals of shares and of rates of counts, and what a clean round can promise. */
import { betaQuantile, gammaQuantile, normalQuantile } from './special.ts';

export interface Interval {
  readonly low: number;
  readonly high: number;
}

/**
 * Wilson's score interval of a share.
 * @param level 0–1, two-sided
 * @param continuity correction in counts: 0, or 0.5
 * @source Wilson 1927, J. American Statistical Association 22:209–212 (memory); tests/reference/statistics (R prop.test)
 */
export function wilsonInterval(successes: number, trials: number, level = 0.95, continuity = 0): Interval {
  checkShare('wilsonInterval', successes, trials);
  const z = normalQuantile((1 + level) / 2);
  const half = (z * z) / (2 * trials);
  const end = (share: number, sign: 1 | -1): number =>
    (share + half + sign * z * Math.sqrt((share * (1 - share)) / trials + half / (2 * trials))) / (1 + 2 * half);
  const low = (successes - continuity) / trials;
  const high = (successes + continuity) / trials;
  return { low: low <= 0 ? 0 : end(low, -1), high: high >= 1 ? 1 : end(high, 1) };
}

/** The exact interval of a share. @source Clopper & Pearson 1934, Biometrika 26:404–413 (memory); tests/reference/statistics (R binom.test) */
export function clopperPearsonInterval(successes: number, trials: number, level = 0.95): Interval {
  checkShare('clopperPearsonInterval', successes, trials);
  const tail = (1 - level) / 2;
  return {
    low: successes === 0 ? 0 : betaQuantile(tail, successes, trials - successes + 1),
    high: successes === trials ? 1 : betaQuantile(1 - tail, successes + 1, trials - successes),
  };
}

/** The interval of a share from Jeffreys' prior, closed at 0 and 1 where none or all were found. @source tests/reference/statistics */
export function jeffreysInterval(successes: number, trials: number, level = 0.95): Interval {
  checkShare('jeffreysInterval', successes, trials);
  const tail = (1 - level) / 2;
  return {
    low: successes === 0 ? 0 : betaQuantile(tail, successes + 0.5, trials - successes + 0.5),
    high: successes === trials ? 1 : betaQuantile(1 - tail, successes + 0.5, trials - successes + 0.5),
  };
}

/**
 * The exact interval of a rate: counts per effort. A count divided by its overdispersion (no longer whole) is taken too.
 * @param count not below 0 @param effort above 0
 * @source Garwood 1936, Biometrika 28:437–442 (memory); tests/reference/statistics (R poisson.test)
 */
export function poissonRateInterval(count: number, effort: number, level = 0.95): Interval {
  if (!(count >= 0) || !(effort > 0))
    throw new RangeError(`poissonRateInterval: expected a count and an effort above 0, got ${count}, ${effort}`);
  const tail = (1 - level) / 2;
  return {
    low: count === 0 ? 0 : gammaQuantile(tail, count) / effort,
    high: gammaQuantile(1 - tail, count + 1) / effort,
  };
}

/** Upper bound of the share of infested quadrats where all `quadrats` were clean: 1 − (1 − confidence)^(1/n). */
export function cleanShareBound(quadrats: number, confidence = 0.95): number {
  return 1 - Math.pow(1 - confidence, 1 / quadrats);
}

/** Upper bound of the density where nothing was found on `effort`: −log(1 − confidence)/effort, 3.0/effort at 95 %. */
export function cleanRateBound(effort: number, confidence = 0.95): number {
  return -Math.log(1 - confidence) / effort;
}

/** Clean quadrats needed to be `confidence` sure that less than `share` of the quadrats is infested. @source tests/reference/statistics (detection) */
export function quadratsForShare(share: number, confidence = 0.95): number {
  return Math.ceil(Math.log(1 - confidence) / Math.log(1 - share));
}

function checkShare(name: string, successes: number, trials: number): void {
  if (!(trials >= 1) || !(successes >= 0 && successes <= trials))
    throw new RangeError(`${name}: expected 0 … trials successes, got ${successes} of ${trials}`);
}
