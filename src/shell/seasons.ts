import type { Farm } from '../../shared/model/farm.ts';

/** Years that can be looked at: somebody scouted or harvested; the latest first. */
export function seasonsOf(farm: Farm): number[] {
  const looked = farm.rounds.map((one) => one.season);
  const cut = farm.seasons.filter((one) => one.visits.length > 0).map((one) => one.year);
  return [...new Set([...looked, ...cut])].sort((a, b) => b - a);
}
