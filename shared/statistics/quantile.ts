/**
 * Quantile of numbers already in rising order, linear between order statistics: h = (n − 1) q (type 7, the convention
 * of most programs).
 * @param sorted rising; at least one
 * @param q 0–1
 * @source Hyndman & Fan 1996, Am. Stat. 50:361–365, definition 7 (memory); reference case percentiles of `seedbank`
 */
export function quantileOfSorted(sorted: ArrayLike<number>, q: number): number {
  if (sorted.length === 0) throw new RangeError('quantileOfSorted: expected at least one number');
  if (!(q >= 0 && q <= 1)) throw new RangeError(`quantileOfSorted: expected a share from 0 to 1, got ${q}`);
  const h = (sorted.length - 1) * q;
  const below = Math.floor(h);
  const low = sorted[below]!;
  const high = sorted[Math.min(below + 1, sorted.length - 1)]!;
  return low + (h - below) * (high - low);
}

/** The same of numbers in any order; they are not changed. A NaN among them gives NaN. @cost O(n log n) */
export function quantile(values: ArrayLike<number>, q: number): number {
  const sorted = Float64Array.from(values).sort();
  if (Number.isNaN(sorted.at(-1))) return NaN;
  return quantileOfSorted(sorted, q);
}
