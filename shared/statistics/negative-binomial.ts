/** Poisson and negative binomial counts. Negative binomial by mean μ and k: variance = μ + μ²/k; small k is clumped. */
import { betaShare, incompleteGamma, lgamma } from './special.ts';

/** log P(count) of a Poisson distribution. @param count whole, not below 0 @param mean not below 0 */
export function poissonLogProbability(count: number, mean: number): number {
  if (mean === 0) return count === 0 ? 0 : -Infinity;
  return count * Math.log(mean) - mean - lgamma(count + 1);
}

/** P(at most `count`) of a Poisson distribution. */
export function poissonCdf(count: number, mean: number): number {
  return count < 0 ? 0 : incompleteGamma(Math.floor(count) + 1, mean).upper;
}

/** log P(count) of a negative binomial distribution. @param k above 0 @source tests/reference/statistics (R dnbinom) */
export function negativeBinomialLogProbability(count: number, mean: number, k: number): number {
  if (mean === 0) return count === 0 ? 0 : -Infinity;
  // k·log(k/(k+μ)) through log1p: k far above μ keeps its digits
  const none = -k * Math.log1p(mean / k);
  if (count === 0) return none;
  return lgamma(count + k) - lgamma(k) - lgamma(count + 1) + none + count * (Math.log(mean) - Math.log(mean + k));
}

/** P(at most `count`), and P(more), of a negative binomial distribution, each accurate in its own tail. */
export function negativeBinomialCdf(count: number, mean: number, k: number): { lower: number; upper: number } {
  if (count < 0) return { lower: 0, upper: 1 };
  if (mean === 0) return { lower: 1, upper: 0 };
  const clean = k / (k + mean);
  const rest = mean / (k + mean);
  const whole = Math.floor(count) + 1;
  return { lower: betaShare(clean, rest, k, whole), upper: betaShare(rest, clean, whole, k) };
}

/** The smallest count with P(at most count) ≥ p. @param p 0 ≤ p < 1 */
export function negativeBinomialQuantile(p: number, mean: number, k: number): number {
  if (!(p >= 0 && p < 1))
    throw new RangeError(`negativeBinomialQuantile: expected a share from 0 to below 1, got ${p}`);
  const reaches = (count: number): boolean => negativeBinomialCdf(count, mean, k).lower >= p * (1 - 1e-14);
  let high = 1;
  while (!reaches(high)) high *= 2;
  let low = -1;
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (reaches(middle)) high = middle;
    else low = middle;
  }
  return high;
}
