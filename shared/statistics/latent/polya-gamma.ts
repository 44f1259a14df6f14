/** Pólya-gamma draws: given them, a negative binomial count is a Gaussian datum. */
import type { RandomStream } from '../random.ts';

const SERIES_BELOW = 0.02;
/** Gammas of the infinite sum that are drawn one by one; the rest is one gamma with its mean and variance. */
const TERMS = 10;
const ONE_GAMMA_ABOVE = 40;
const TWO_PI_SQUARED = 2 * Math.PI * Math.PI;
/** A precision of 0 would be a division by zero. */
const LEAST = 1e-12;

/** Mean of PG(b, z): b·tanh(z/2)/(2z). @param b above 0 */
export function polyaGammaMean(b: number, z: number): number {
  const a = Math.abs(z);
  return a < SERIES_BELOW ? (b / 4) * (1 - (a * a) / 12) : (b * Math.tanh(a / 2)) / (2 * a);
}

/** Variance of PG(b, z): b(2tanh(z/2) − z·sech²(z/2))/(4z³). @param b above 0 */
export function polyaGammaVariance(b: number, z: number): number {
  const a = Math.abs(z);
  if (a < SERIES_BELOW) return (b / 24) * (1 - (a * a) / 5);
  const t = Math.tanh(a / 2);
  return (b * (2 * t - a * (1 - t * t))) / (4 * a * a * a);
}

/**
 * A draw of PG(b, z). Above b = 40 one gamma with its mean and variance; below, ten gammas of the defining sum and one
 * with the mean and variance of the rest.
 * @param b above 0
 * @source methods-spatial §7 step 7; Polson, Scott & Windle 2013, J. American Statistical Association 108:1339–1349 (memory)
 */
export function drawPolyaGamma(random: RandomStream, b: number, z: number): number {
  let mean = polyaGammaMean(b, z);
  let variance = polyaGammaVariance(b, z);
  let sum = 0;
  if (b <= ONE_GAMMA_ABOVE) {
    const tilt = (z * z) / (2 * TWO_PI_SQUARED);
    for (let j = 0.5; j < TERMS; j++) {
      const t = 1 / (TWO_PI_SQUARED * (j * j + tilt));
      sum += t * random.gamma(b);
      mean -= b * t;
      variance -= b * t * t;
    }
  }
  if (mean > 0 && variance > 0) sum += (random.gamma((mean * mean) / variance) * variance) / mean;
  return Math.max(LEAST, sum);
}
