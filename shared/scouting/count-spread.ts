/** How plants counted in one round spread over its stops: what a wanted precision of their mean hangs on. */
import { type ScoutedPlace, scoutingDensity } from '../agronomy/scouting-density.ts';
import { LEAST_POSITIVES } from '../statistics/dispersion.ts';
import { quantile } from '../statistics/quantile.ts';
import { WORKING_MODEL } from './log-density.ts';

export interface CountSpread {
  /** Stops whose plants were counted; those marked present or not are left out. */
  readonly stops: number;
  /** Ground of a usual one of them, m². */
  readonly effortM2: number;
  /** Plants expected there: Σc/Σe of the round × `effortM2`. */
  readonly meanCount: number;
  /** Negative binomial k of a stop; null where the counts vary no more than chance. */
  readonly k: number | null;
  /** Fitted to these counts by maximum likelihood, seen to be no clumping, or assumed; and in words why it was not fitted. */
  readonly kFrom: 'fit' | 'chance' | 'assumed';
  readonly because: string | null;
}

/** Center of the latent count model's prior; weeds are often between 0.05 and 1 (from memory, no single source). */
export const ASSUMED_K = WORKING_MODEL.k;

/** @returns null where no plant was counted: the formula needs a mean @source methods-spatial §3.3 (when a k can be fitted) */
export function countSpread(places: readonly ScoutedPlace[]): CountSpread | null {
  const density = scoutingDensity(places.filter((one) => one.presenceOnly !== true));
  const mean = density.meanPerM2.central;
  if (mean === null || mean === 0) return null;
  const effortM2 = quantile(density.effortM2, 0.5);
  const told = { stops: density.places, effortM2, meanCount: mean * effortM2 };
  const { dispersion } = density;
  if (dispersion && dispersion.k !== null) return { ...told, k: dispersion.k, kFrom: 'fit', because: null };
  if (dispersion && density.positives >= LEAST_POSITIVES)
    return { ...told, k: null, kFrom: 'chance', because: dispersion.because };
  return { ...told, k: ASSUMED_K, kFrom: 'assumed', because: dispersion?.because ?? 'a single stop tells no clumping' };
}
