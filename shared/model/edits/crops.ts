/** What was planted on a field in a season, and what it tolerates. */
import type { Edit } from '../edit.ts';
import type { CropSeason, Farm } from '../farm.ts';
import type { Named } from './named.ts';
import { changeSeasons } from './seasons.ts';

/** A crop of which nothing is known but that it stands there. */
export function bareCrop(field: string, crop: string): CropSeason {
  return {
    field,
    crop,
    tolerates: 'not stated',
    plantedOn: null,
    rowSpacingM: null,
    tillage: 'not stated',
    expectedYieldKgHa: null,
  };
}

/** One crop a field and season: what was known is replaced, in its place. */
export function sayCrop(farm: Farm, year: number, crop: CropSeason, field: Named, name: string): Edit {
  const seasons = changeSeasons(farm, [year], (season) => {
    const known = season.crops.findIndex((one) => one.field === crop.field);
    const crops = known < 0 ? [...season.crops, crop] : season.crops.map((one, at) => (at === known ? crop : one));
    return { ...season, crops };
  });
  return { label: `${field.name} in ${year}: ${name}`, sets: [{ path: ['seasons'], value: seasons }] };
}

export function removeCrop(farm: Farm, year: number, field: Named): Edit {
  const seasons = changeSeasons(farm, [year], (season) => ({
    ...season,
    crops: season.crops.filter((one) => one.field !== field.id),
  }));
  return {
    label: `Take back what was planted on ${field.name} in ${year}`,
    sets: [{ path: ['seasons'], value: seasons }],
  };
}
