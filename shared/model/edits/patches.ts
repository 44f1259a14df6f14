/** Patches drawn on the map, with a class of density or the plants per m² that the person saw. */
import type { MultiPolygon } from '../../geometry/types.ts';
import type { Day } from '../../units/calendar.ts';
import type { Edit } from '../edit.ts';
import type { Farm, Round } from '../farm.ts';
import type { Named } from './named.ts';
import { changeRound, withSpecies } from './rounds.ts';

export type DrawnPatch = Round['patches'][number];
export type PatchDensity = DrawnPatch['density'];

export interface PatchGiven {
  readonly field: Named;
  readonly species: Named;
  readonly area: MultiPolygon;
  readonly density: PatchDensity;
  readonly season: number;
  readonly on: Day | null;
}

/** Which patch of which round: patches have no name of their own. */
export interface PatchPlace {
  readonly round: string;
  readonly index: number;
}

export interface PlacedPatch extends PatchPlace {
  readonly patch: DrawnPatch;
}

export function addPatch(farm: Farm, { field, species, area, density, season, on }: PatchGiven): Edit {
  const patch: DrawnPatch = { field: field.id, species: species.id, area: area as DrawnPatch['area'], density };
  return {
    label: `Draw a patch of ${species.name} in ${field.name}`,
    sets: [
      {
        path: ['rounds'],
        value: changeRound(farm, { season, from: on, to: on }, (round) => ({
          ...round,
          patches: [...round.patches, patch],
        })),
      },
      { path: ['thresholdPerM2'], value: withSpecies(farm, [species.id]) },
    ],
  };
}

/** A patch reshaped or of another density. @throws where there is no such patch */
export function changePatch(
  farm: Farm,
  place: PatchPlace,
  change: { readonly area?: MultiPolygon; readonly density?: PatchDensity },
  field: Named,
): Edit {
  const verb = change.area === undefined ? 'Say how thick a patch is in' : 'Reshape a patch in';
  const value = patchesOf(farm, place).map((one, index) => (index === place.index ? { ...one, ...change } : one));
  return { label: `${verb} ${field.name}`, sets: [{ path: pathOf(farm, place), value }] };
}

/** @throws where there is no such patch */
export function removePatch(farm: Farm, place: PatchPlace, field: Named): Edit {
  const value = patchesOf(farm, place).filter((_, index) => index !== place.index);
  return { label: `Delete a patch in ${field.name}`, sets: [{ path: pathOf(farm, place), value }] };
}

/** The patches that were drawn here in a season, in one field or in all. */
export function patchesIn(farm: Farm, season: number, field: string | null): PlacedPatch[] {
  return farm.rounds
    .filter((one) => one.season === season)
    .flatMap((round) => round.patches.map((patch, index) => ({ round: round.id, index, patch })))
    .filter(({ patch }) => field === null || patch.field === field);
}

function patchesOf(farm: Farm, { round, index }: PatchPlace): Round['patches'] {
  const patches = farm.rounds.find((one) => one.id === round)?.patches ?? [];
  if (!patches[index]) throw new Error(`patches: no patch ${index} in ${round}`);
  return patches;
}

function pathOf(farm: Farm, { round }: PatchPlace): (string | number)[] {
  return ['rounds', farm.rounds.findIndex((one) => one.id === round), 'patches'];
}
