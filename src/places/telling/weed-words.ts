/** Weeds as people call them, and how tall they stand. */
import { speciesIdOf } from '../../../shared/agronomy/species-names.ts';
import { isSpecies, speciesOf } from '../../../shared/agronomy/species.ts';
import { type Display, formatNumber } from '../../../shared/units/format.ts';
import { fromSI } from '../../../shared/units/units.ts';

/** Its common name, from an id or a code of a record; what the record calls it where it is none of ours. */
export function weedName(species: string): string {
  const id = speciesIdOf(species) ?? species;
  return isSpecies(id) ? speciesOf(id).name : species;
}

/** "5.5 in", "14 cm". */
export function weedHeight(heightMm: number, display: Display): string {
  return display === 'us'
    ? `${formatNumber(fromSI(heightMm / 1000, 'in'), 1)} in`
    : `${formatNumber(heightMm / 10, 0)} cm`;
}
