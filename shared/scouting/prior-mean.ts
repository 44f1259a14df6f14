/** What is expected of log density before the map: from the counts, from a word, or from nothing. */
import type { RatingDensity } from '../agronomy/rating-densities.ts';
import type { CountedPlaces } from '../statistics/latent/places.ts';
import { priorMu } from '../statistics/latent/priors.ts';

/** @returns log plants/m² @param rating of the field, where nobody counted */
export function priorMean({ count, effortM2 }: CountedPlaces, rating: RatingDensity | null): number {
  if (count.length > 0) return priorMu(count, effortM2);
  const plants = rating === null ? 0 : rating.areaFraction.central * rating.densityPerM2.central;
  return priorMu(Float64Array.of(plants), Float64Array.of(1));
}
