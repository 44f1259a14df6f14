import type { FieldScouting } from '../../../shared/analysis/steps/scouting.ts';
import type { FieldGround } from '../../../shared/analysis/steps/field.ts';
import { createFrame } from '../../../shared/geometry/local-frame.ts';
import type { LonLat } from '../../../shared/geometry/types.ts';
import { roundsOf } from '../../../shared/model/lookups.ts';
import type { OpenFarm } from '../open-farm.ts';

export interface ScoutedPlace {
  readonly field: string;
  readonly round: string;
  readonly species: string;
  readonly at: LonLat;
  readonly effortM2: number;
  /** Plants counted over the effort; 0 is a looked-at place without the weed. */
  readonly count: number;
  /** Seen or not seen only: the count is 1 or 0. */
  readonly presenceOnly: boolean;
  /** The count is a lower bound. */
  readonly atLeast: boolean;
}

/** Of one field or of all, in one season; observations of one place added up. */
export function scoutedPlacesQuestion(
  open: OpenFarm,
  ask: { readonly field?: string; readonly season: number },
): readonly ScoutedPlace[] {
  const fields = open.farm.fields.filter((one) => ask.field === undefined || one.id === ask.field);
  return fields.flatMap(({ id: field }) => {
    const ground = open.outcome<FieldGround>('field', { field });
    if (!ground) return [];
    const frame = createFrame(ground.origin);
    return roundsOf(open.farm, ask.season).flatMap((round) =>
      (open.outcome<FieldScouting>('scouting', { field, round: round.id })?.species ?? []).flatMap((seen) =>
        seen.places.map((place): ScoutedPlace => ({
          field,
          round: round.id,
          species: seen.species,
          at: frame.toLonLat(place.xM, place.yM),
          effortM2: place.effortM2,
          count: place.count,
          presenceOnly: place.presenceOnly ?? false,
          atLeast: place.atLeast ?? false,
        })),
      ),
    );
  });
}
