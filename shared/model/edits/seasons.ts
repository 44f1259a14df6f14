/** Seasons changed by their year, made where they were missing, in the order of time. */
import type { Farm, Season } from '../farm.ts';

export function changeSeasons(farm: Farm, years: readonly number[], change: (season: Season) => Season): Season[] {
  const missing = years.filter((year) => !farm.seasons.some((one) => one.year === year)).map(emptySeason);
  return [...farm.seasons, ...missing]
    .map((season) => (years.includes(season.year) ? change(season) : season))
    .sort((a, b) => a.year - b.year);
}

function emptySeason(year: number): Season {
  return { year, weather: [], prices: {}, crops: [], visits: [], sprayed: [], sightings: [] };
}
