/** What was sprayed on a field: ingredients with the share of the full label rate that went on. */
import { dateOf, dayNumber } from '../../units/calendar.ts';
import type { Edit } from '../edit.ts';
import type { Farm, Season } from '../farm.ts';
import type { Named } from './named.ts';
import { changeSeasons } from './seasons.ts';

export type Spraying = Season['sprayed'][number];

/** One pass a field and day: an ingredient of the same day joins it, as the rows of a spray record do. @throws on a day that is none */
export function addSpraying(farm: Farm, spraying: Spraying, field: Named): Edit {
  const seasons = changeSeasons(farm, [yearOf(spraying)], (season) => {
    const same = season.sprayed.findIndex((one) => one.where.field === spraying.where.field && one.on === spraying.on);
    const sprayed =
      same < 0
        ? [...season.sprayed, spraying]
        : season.sprayed.map((one, at) =>
            at === same ? { ...one, ...spraying, parts: [...one.parts, ...spraying.parts] } : one,
          );
    return { ...season, sprayed };
  });
  const names = spraying.parts.map((one) => one.ingredient).join(' and ');
  return {
    label: `${field.name} sprayed with ${names} on ${spraying.on}`,
    sets: [{ path: ['seasons'], value: seasons }],
  };
}

/** Takes one ingredient of a pass back; the pass goes with its last one. @throws where there is no such pass */
export function removeSprayed(farm: Farm, spraying: Spraying, part: number, field: Named): Edit {
  const gone = spraying.parts[part];
  if (!gone || !farm.seasons.some((one) => one.sprayed.includes(spraying)))
    throw new Error(`removeSprayed: no ingredient ${part} on ${spraying.on}`);
  const parts = spraying.parts.filter((_, other) => other !== part);
  const seasons = farm.seasons.map((season) => ({
    ...season,
    sprayed: season.sprayed.flatMap((one) =>
      one !== spraying ? [one] : parts.length === 0 ? [] : [{ ...one, parts }],
    ),
  }));
  return {
    label: `Take back ${gone.ingredient} on ${field.name}`,
    sets: [{ path: ['seasons'], value: seasons }],
  };
}

function yearOf({ on }: Spraying): number {
  const day = dayNumber(on);
  if (day === null) throw new Error(`addSpraying: expected a day, got ${on}`);
  return dateOf(day).year;
}
