/** How many stops a field needs so that its mean is known to a wanted precision. */

/**
 * n = (1/m + 1/k)/D²: counts with mean m a quadrat and clumping k, standard error D as a share of the mean. Without clumping
 * (k infinite) what remains is the Poisson's.
 * @param meanCount expected plants a quadrat, above 0 @param k above 0, Infinity for counts that are not clumped @param relativeError D, above 0
 * @returns whole stops, at least 1
 * @source Elliott 1977, Some methods for the statistical analysis of samples of benthic invertebrates (formula from memory; management.md n-required)
 */
export function stopsNeeded(meanCount: number, k: number, relativeError: number): number {
  if (!(meanCount > 0 && k > 0 && relativeError > 0))
    throw new RangeError(`stopsNeeded: expected values above 0, got ${meanCount}, ${k}, ${relativeError}`);
  return Math.max(1, Math.ceil((1 / meanCount + 1 / k) / relativeError ** 2 - 1e-9));
}

/** The precision that so many stops give: D = √((1/m + 1/k)/n). */
export function relativeErrorOf(stops: number, meanCount: number, k: number): number {
  return Math.sqrt((1 / meanCount + 1 / k) / stops);
}
