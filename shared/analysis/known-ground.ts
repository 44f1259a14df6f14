/**
 * The ground that what is on record of a weed speaks for. A map speaks for its known cells. A clean round, and counts without
 * structure, speak for the whole field as one: their infested area, with its range, is of all of it. A rating is a word: it
 * speaks for no ground that could be named.
 */
import type { Infestation } from '../agronomy/infestation.ts';
import type { FieldGround } from './steps/field.ts';
import type { FieldInfestation } from './steps/infestation.ts';

type Spoken = Pick<Infestation, 'basis' | 'infestedFractionOf' | 'knownAreaM2'>;

/** @returns m², at most the field's area; 0 where there is no more than a rating */
export function spokenForM2(map: Spoken, fieldM2: number): number {
  return speaksForAll(map) ? fieldM2 : withinField(map.knownAreaM2, fieldM2);
}

/** Ground that at least one weed's evidence speaks for, cell by cell. @returns m², at most the field's area */
export function spokenForByAnyM2(
  infestations: readonly FieldInfestation[],
  { cellAreaM2 }: Pick<FieldGround, 'cellAreaM2'>,
  fieldM2: number,
): number {
  const silent = silentCells(infestations, cellAreaM2.length);
  if (silent === null) return fieldM2;
  let spoken = 0;
  for (let cell = 0; cell < silent.length; cell++) if (silent[cell] === 0) spoken += cellAreaM2[cell]!;
  return withinField(spoken, fieldM2);
}

/** 1 for each cell that no weed's evidence speaks for; null where some weed's speaks for the whole field. */
export function silentCells(infestations: readonly FieldInfestation[], cells: number): Uint8Array | null {
  if (infestations.some(({ map }) => speaksForAll(map))) return null;
  const silent = new Uint8Array(cells).fill(1);
  for (const { map } of infestations)
    for (let cell = 0; cell < cells; cell++) if (map.known[cell] === 1) silent[cell] = 0;
  return silent;
}

/** Cells are cut from the plane, the field's area is of the ellipsoid: less than a square meter apart is rounding. */
function withinField(spokenM2: number, fieldM2: number): number {
  return spokenM2 > fieldM2 - 1 ? fieldM2 : spokenM2;
}

function speaksForAll({ basis, infestedFractionOf }: Spoken): boolean {
  return infestedFractionOf === 'field' && (basis === 'clean round' || basis === 'points');
}
