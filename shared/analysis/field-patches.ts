/** The patches that were drawn of a field in a season, by hand or in files that were brought, in the order of their rounds. */
import { createFrame } from '../geometry/local-frame.ts';
import { toLonLatPolygon } from '../geometry/polygon.ts';
import type { MultiPolygon } from '../geometry/types.ts';
import type { Farm } from '../model/farm.ts';
import { fieldOf, roundsOf } from '../model/lookups.ts';
import type { ResultOf } from './step.ts';
import type { FieldScouting, SpeciesScouting } from './steps/scouting.ts';

export interface FieldPatch {
  readonly species: string;
  readonly density: SpeciesScouting['patches'][number]['density'];
  readonly area: MultiPolygon;
}

export function fieldPatches(
  farm: Farm,
  { field, season }: { readonly field: string; readonly season: number },
  result: ResultOf,
): readonly FieldPatch[] {
  const frame = createFrame(fieldOf(farm, field).frameOrigin);
  return roundsOf(farm, season).flatMap(({ id }) =>
    (result<FieldScouting>('scouting', { field, round: id })?.species ?? []).flatMap(({ species, patches }) =>
      patches.map(({ area, density }) => ({ species, density, area: toLonLatPolygon(frame, area) })),
    ),
  );
}
