/**
 * What a pass kills, from the rating that the person takes from their state's guide. The four classes as shares killed are
 * common practice, no source; the guide's own limits replace them.
 */
import type { ControlRating, OwnValue } from '../model/farm.ts';
import type { Case } from '../model/range.ts';
import { parameter, resolveParameter } from './parameter.ts';

/** Range of the share killed under a rating. 'none' kills nothing. */
export function controlRange(rating: ControlRating): { low: number; central: number; high: number } {
  if (rating === 'none') return { low: 0, central: 0, high: 0 };
  const { low, value, high } = parameter(`control.${rating}`);
  return { low, central: value, high };
}

/** Share of the plants present that a pass of this rating kills, in one case (harsh: fewer). */
export function controlFraction(rating: ControlRating, which: Case, own?: OwnValue): number {
  return rating === 'none' ? 0 : resolveParameter(`control.${rating}`, which, own);
}

/**
 * Share killed by several passes that act independently: 1 − Π(1 − k).
 * @param controls each 0–1
 * @source colby1967 (memory): independent action; antagonism and synergy are departures from it
 */
export function combinedControlFraction(controls: readonly number[]): number {
  let alive = 1;
  for (const control of controls) {
    if (!(control >= 0 && control <= 1))
      throw new Error(`combinedControlFraction: expected shares 0–1, got ${control}`);
    alive *= 1 - control;
  }
  return 1 - alive;
}

/** Plants of a cohort that live through the passes. */
export function survivors(plants: number, controls: readonly number[]): number {
  return plants * (1 - combinedControlFraction(controls));
}
