/** All that the study of one field sees of the document, and of the order of fields: like facts and like results give a like study. */
import type { Farm, Field, Program } from '../model/farm.ts';
import { harvestOf, roundsOf, seasonOf, speciesOf } from '../model/lookups.ts';
import type { FieldPriority } from './steps/priority.ts';

export interface FieldFacts {
  readonly field: Field;
  readonly season: number | null;
  readonly species: readonly string[];
  readonly programs: readonly Program[];
  readonly display: Farm['display'];
  readonly horizonYears: number;
  readonly discountFraction: number;
  /** Rounds of the season. */
  readonly rounds: readonly string[];
  readonly hasLog: boolean;
  readonly hasWeather: boolean;
  readonly wasSprayed: boolean;
  /** Somebody scouted, or a crop is on record, in an earlier season. */
  readonly hasHistory: boolean;
  /** False where no weed is on record, or no season: fields cannot be ranked then. */
  readonly canRank: boolean;
  /** In an earlier season it is too late to go and look. */
  readonly isPast: boolean;
  readonly priority: FieldPriority | null;
}

export function factsOf(
  farm: Farm,
  field: Field,
  season: number | null,
  more: Pick<FieldFacts, 'canRank' | 'isPast' | 'priority'>,
): FieldFacts {
  const now = season === null ? null : seasonOf(farm, season);
  return {
    field,
    season,
    species: speciesOf(farm),
    programs: farm.programs,
    display: farm.display,
    horizonYears: farm.planning.horizonYears,
    discountFraction: farm.planning.discountFraction,
    rounds: season === null ? [] : roundsOf(farm, season).map((one) => one.id),
    hasLog: season !== null && harvestOf(farm, field.id, season).files.length > 0,
    hasWeather: now !== null && now.weather.length > 0,
    wasSprayed: now?.sprayed.some((one) => one.where.field === field.id) ?? false,
    hasHistory:
      season !== null &&
      (farm.rounds.some((one) => one.season < season) ||
        farm.seasons.some((one) => one.year < season && one.crops.length > 0)),
    ...more,
  };
}

/** Whether two sets of facts are alike: the same objects of the document, equal values of the rest. */
export function sameFacts(a: FieldFacts, b: FieldFacts): boolean {
  return (Object.keys(a) as (keyof FieldFacts)[]).every((fact) => {
    if (Object.is(a[fact], b[fact])) return true;
    return (
      (fact === 'species' || fact === 'rounds' || fact === 'priority') &&
      JSON.stringify(a[fact]) === JSON.stringify(b[fact])
    );
  });
}
