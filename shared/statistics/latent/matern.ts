/** Practical range over the parameter a: ρ(5.918 a) = 0.05. */
const PRACTICAL_OVER_A = 5.918;

/**
 * Matérn 5/2 correlation, (1 + q + q²/3)e^−q with q = h/a and a = practical range/5.918: twice differentiable, so that a
 * field cannot follow single quadrats.
 * @param distanceM not below 0 @param practicalRangeM where 5 % of the correlation is left, m, above 0
 * @returns 1 at distance 0, falling to 0
 * @source methods-spatial §7; tests/reference/infested-area (exact: correlation)
 */
export function matern52(distanceM: number, practicalRangeM: number): number {
  const q = (distanceM * PRACTICAL_OVER_A) / practicalRangeM;
  return (1 + q * (1 + q / 3)) * Math.exp(-q);
}
