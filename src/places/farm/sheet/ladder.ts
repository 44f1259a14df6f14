/** The ladder of evidence of one field: where it stands, and what would lift it. */
import type { FieldStudy, Study } from '../../../../shared/analysis/study.ts';
import { cropOf, seasonOf } from '../../../../shared/model/lookups.ts';
import type { Farm } from '../../../../shared/model/farm.ts';
import { listed } from '../../../../shared/units/words.ts';

export const RUNGS = [
  { rung: 'a', words: 'boundary' },
  { rung: 'b', words: 'a word or drawn patches' },
  { rung: 'c', words: 'counts' },
  { rung: 'd', words: 'a harvest log' },
  { rung: 'e', words: 'weather, sprayings and last year' },
] as const satisfies readonly { rung: FieldStudy['evidence']; words: string }[];

/** Places from which a map of the weed is drawn: a sketch, a surface (methods-spatial §4). */
const SKETCH_FROM = 8;
const SURFACE_FROM = 20;

/** What would make the answer surer, the nearest first; null at the top. */
export function whatLifts(field: FieldStudy, farm: Farm, study: Study): string | null {
  switch (field.evidence) {
    case 'a':
      return 'Rate it in a word, or draw the patches that you know: it then stands in a tier.';
    case 'b':
      return `Count at ${SKETCH_FROM} places or more, zeros too: counts give densities and a cost with a range.`;
    case 'c': {
      const places = Math.max(0, ...field.bySpecies.map((one) => one.places));
      if (places < SKETCH_FROM) return `${SKETCH_FROM - places} more counted places make a sketch of where it stands.`;
      const more =
        places < SURFACE_FROM ? `${SURFACE_FROM - places} more places make a surface with an infested area. ` : '';
      return `${more}The combine’s log shows where the seed went.`;
    }
    case 'd': {
      const missing = missingOf(field, farm, study.farm.season);
      return missing.length === 0 ? null : `Still missing for a look back: ${listed(missing)}.`;
    }
    case 'e':
      return null;
  }
}

function missingOf(field: FieldStudy, farm: Farm, year: number | null): string[] {
  if (year === null) return [];
  const season = seasonOf(farm, year);
  const before =
    farm.rounds.some((one) => one.season < year) || farm.seasons.some((one) => one.year < year && one.crops.length > 0);
  return [
    season === null || season.weather.length === 0 ? 'weather' : null,
    season?.sprayed.some((one) => one.where.field === field.id) ? null : 'what was sprayed',
    before ? null : 'last year’s counts or crops',
    cropOf(farm, field.id, year) ? null : 'what was planted',
  ].filter((one) => one !== null);
}
