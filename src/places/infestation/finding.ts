/** The sentence of the Infestation place: where the weed is, how much ground, how sure. */
import type { FieldStudy, Study } from '../../../shared/analysis/study.ts';
import type { Range } from '../../../shared/model/range.ts';
import { capital, counted, listed } from '../../../shared/units/words.ts';

export type Line = FieldStudy['bySpecies'][number];

/** A sentence in pieces: a piece with a path is a number that opens its working. */
export type Piece = string | { readonly range: Range; readonly path: string; readonly isSpan?: boolean };

export function lineOf(field: FieldStudy, species: string): Line | null {
  const line = field.bySpecies.find((one) => one.species === species);
  return line && line.basis !== 'nothing' ? line : null;
}

export function isFound(line: Line): boolean {
  return (
    line.positives > 0 || line.basis === 'drawn patches' || (line.basis === 'rating' && !/none seen/.test(line.method))
  );
}

/** Whether the counts draw a map, so that another threshold would draw another. */
export function isMapped({ basis }: Line): boolean {
  return basis === 'surface' || basis === 'sketch';
}

export function fieldFinding(field: FieldStudy, species: string, name: string): readonly Piece[] {
  const line = lineOf(field, species);
  if (!line) return [`Nobody looked for ${name} in ${field.name}: unknown, not clean`];
  const path = `fields/${field.id}/bySpecies/${species}/infestedAreaM2`;
  switch (line.basis) {
    case 'rating':
      return [`${field.name} is known by one word for ${name}: ${ratingOf(line)}`];
    case 'drawn patches':
      return [`${capital(name)} stands in the patches that were drawn in ${field.name}`];
    case 'clean round':
      return [`No ${name} at ${counted(line.places, 'place')} in ${field.name}`];
    case 'points':
      return [
        `${capital(name)} stands at ${line.positives} of ${counted(line.places, 'place')} in ${field.name}: too few for a map`,
      ];
    default:
      if (line.infestedAreaM2.central === null)
        return [
          `${capital(name)} stands at ${line.positives} of ${counted(line.places, 'place')} in ${field.name}: on how much ground, they cannot tell`,
        ];
      if (line.rangeIs === 'few finds')
        return [
          `${capital(name)} was found at only ${line.positives} of ${counted(line.places, 'place')} in ${field.name}: it is above its threshold somewhere on `,
          { range: line.infestedAreaM2, path, isSpan: true },
        ];
      return [`${capital(name)} is above its threshold on `, { range: line.infestedAreaM2, path }, ` of ${field.name}`];
  }
}

export function farmFinding(study: Study, species: string, name: string): string {
  const looked = study.fields.filter((one) => lineOf(one, species) !== null);
  if (looked.length === 0) return `Nobody looked for ${name} on this farm this season`;
  const found = looked.filter((one) => isFound(lineOf(one, species)!));
  const left = study.fields.length - looked.length;
  const unlooked = left === 0 ? '' : `; ${counted(left, 'field')} nobody looked at`;
  if (found.length === 0) return `No ${name} on the ${counted(looked.length, 'field')} that were looked at${unlooked}`;
  const worst = [...found].sort((a, b) => highOf(b, species) - highOf(a, species)).slice(0, 2);
  return `${capital(name)} stands in ${found.length} of ${counted(looked.length, 'field')}, most in ${listed(worst.map((one) => one.name))}${unlooked}`;
}

/** The word in the method's quotes: `Rated "few" by a person`. */
function ratingOf(line: Line): string {
  return /"([^"]+)"/.exec(line.method)?.[1] ?? line.method;
}

function highOf(field: FieldStudy, species: string): number {
  const { infestedAreaM2, positives, places } = lineOf(field, species)!;
  return (infestedAreaM2.central ?? 0) + (infestedAreaM2.high ?? 0) / 1000 + (places === 0 ? 0 : positives / places);
}
