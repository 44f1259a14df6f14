/** Costs this near are one. */
export function tolerance(cost: number): number {
  return 1e-9 * Math.max(1, Math.abs(cost));
}
