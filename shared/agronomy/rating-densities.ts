/**
 * A rating of a field or a class of a drawn patch in numbers, so that tiers can be made where nobody counted.
 * *Assumed*, no source; counts or the person's own numbers replace them. They make tiers, never a density on screen.
 */
import type { Rating } from '../model/records.ts';
import type { Case } from '../model/range.ts';

export interface ThreeNumbers {
  readonly low: number;
  readonly central: number;
  readonly high: number;
}

/** Share of the field infested, and plants/m² there. */
export interface RatingDensity {
  readonly areaFraction: ThreeNumbers;
  readonly densityPerM2: ThreeNumbers;
}

const three = (low: number, central: number, high: number): ThreeNumbers => ({ low, central, high });
const WHOLE = three(1, 1, 1);

/** null: nobody looked, so nothing can be said. */
export const RATING_DENSITIES: Readonly<Record<Rating, RatingDensity | null>> = {
  'not looked': null,
  'none seen': { areaFraction: WHOLE, densityPerM2: three(0, 0.0005, 0.01) },
  few: { areaFraction: WHOLE, densityPerM2: three(0.0005, 0.003, 0.02) },
  patches: { areaFraction: three(0.02, 0.08, 0.25), densityPerM2: three(0.3, 2, 10) },
  throughout: { areaFraction: three(0.5, 0.8, 1), densityPerM2: three(0.3, 2, 10) },
};

export const PATCH_DENSITIES: Readonly<Record<'thin' | 'medium' | 'thick', ThreeNumbers>> = {
  thin: three(0.02, 0.1, 0.3),
  medium: three(0.3, 1, 3),
  thick: three(3, 10, 50),
};

export const RATING_NOTE =
  'Plants per m² behind a rating are assumed, without a source: they sort fields into tiers and are not shown as densities. Counts replace them.';

const END: Readonly<Record<Case, keyof ThreeNumbers>> = { mild: 'low', central: 'central', harsh: 'high' };

/** Plants/m² over the whole field under a rating, in one case; null where nobody looked. */
export function ratingMeanDensityPerM2(rating: Rating, which: Case): number | null {
  const numbers = RATING_DENSITIES[rating];
  return numbers === null ? null : numbers.areaFraction[END[which]] * numbers.densityPerM2[END[which]];
}

/** Plants/m² within a drawn patch, in one case. */
export function patchDensityPerM2(patch: keyof typeof PATCH_DENSITIES | number, which: Case): number {
  return typeof patch === 'number' ? patch : PATCH_DENSITIES[patch][END[which]];
}
