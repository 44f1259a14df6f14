/**
 * A parameter's value at a uniform draw u: inverse distributions of what a range (low, most likely, high) may mean.
 * One matrix of u serves every program, zone and cell, so that differences between them are not noise.
 */

import { betaQuantile, normalQuantile } from './special.ts';

/**
 * Triangular distribution, in closed form.
 * @param u 0–1
 * @source methods-season §5; reference case triangular of `seedbank`
 */
export function triangularQuantile(u: number, low: number, mode: number, high: number): number {
  assertRange('triangularQuantile', u, low, mode, high);
  if (low === high) return low;
  const width = high - low;
  return u < (mode - low) / width
    ? low + Math.sqrt(u * width * (mode - low))
    : high - Math.sqrt((1 - u) * width * (high - mode));
}

/**
 * PERT: a beta distribution on [low, high] of shape 4, mean (low + 4 mode + high)/6; lighter ends than a triangle.
 * @param u 0–1
 * @source methods-season §5; reference case pert of `seedbank`
 */
export function pertQuantile(u: number, low: number, mode: number, high: number): number {
  assertRange('pertQuantile', u, low, mode, high);
  if (low === high || u === 0) return low;
  if (u === 1) return high;
  const width = high - low;
  return low + width * betaQuantile(u, 1 + (4 * (mode - low)) / width, 1 + (4 * (high - mode)) / width);
}

/**
 * Lognormal given by its 5th and 95th percentiles: σ = ln(hi/lo)/(2 z₀.₉₅). It has no ends: u = 0 gives 0, u = 1 infinity.
 * @param u 0–1
 * @source methods-season §5; reference case lognormal of `seedbank`
 */
export function lognormalQuantile(u: number, p05: number, p95: number): number {
  if (!(p05 > 0 && p95 >= p05 && p95 < Infinity)) {
    throw new RangeError(`lognormalQuantile: expected 0 < p05 ≤ p95, got ${p05}, ${p95}`);
  }
  const middle = (Math.log(p05) + Math.log(p95)) / 2;
  const sd = Math.log(p95 / p05) / (2 * normalQuantile(0.95));
  return sd === 0 ? p05 : Math.exp(middle + sd * normalQuantile(u));
}

function assertRange(name: string, u: number, low: number, mode: number, high: number): void {
  if (!(u >= 0 && u <= 1)) throw new RangeError(`${name}: expected a draw from 0 to 1, got ${u}`);
  if (!(low <= mode && mode <= high && high - low < Infinity)) {
    throw new RangeError(`${name}: expected low ≤ mode ≤ high, got ${low}, ${mode}, ${high}`);
  }
}
