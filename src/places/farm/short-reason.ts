/** Why a field stands where it stands, in one short line: what was found, and what fell at harvest. */
import type { Farm } from '../../../shared/model/farm.ts';
import type { Rating } from '../../../shared/model/records.ts';
import { formatQuantity } from '../../../shared/units/format.ts';
import { infestedText } from '../../../shared/analysis/infested-text.ts';
import type { FieldShown } from './standing.ts';
import { capital, counted, listed } from '../../../shared/units/words.ts';
import { twoFigures } from '../../../shared/units/rough.ts';

type Line = FieldShown['bySpecies'][number];

/** @param ratingOf the word that a field was rated with, where it is known */
export function shortReason(
  field: FieldShown,
  farm: Farm,
  ratingOf: (field: string, species: string) => Rating | null,
): string {
  if (field.tier === null) return unlooked(field, farm);
  const found = field.bySpecies.filter((one) => one.basis !== 'nothing' && !isClean(one, field.id, ratingOf));
  if (found.length === 0) return capital(cleanWords(field));
  const worst = [...found].sort((a, b) => weightOf(b) - weightOf(a))[0]!;
  const others = found.length === 1 ? '' : `, and ${counted(found.length - 1, 'other weed')}`;
  const fell = field.evidence === 'b' ? null : (field.seedsLandedInField?.central ?? null);
  const seed =
    fell === null || fell < 1 ? '' : `; ${formatQuantity(twoFigures(fell), 'seed count', farm.display)} fell`;
  return `${capital(foundWords(worst, farm, ratingOf(field.id, worst.species)))}${others}${seed}`;
}

function unlooked({ carriedIn }: FieldShown, { display }: Farm): string {
  const brought = carriedIn?.central ?? null;
  return brought === null || brought < 1
    ? 'Nobody looked this season'
    : `The combine brought in ${formatQuantity(twoFigures(brought), 'seed count', display)}`;
}

function foundWords(one: Line, { display }: Farm, rating: Rating | null): string {
  if (one.basis === 'rating') return rating === null ? `${one.name} by rating` : ratedWords(one.name, rating);
  if (one.basis === 'drawn patches') return `${one.name} in drawn patches`;
  if (one.basis !== 'points' && (one.infestedAreaM2.central ?? 0) > 0)
    return `${one.name} on ${infestedText(one, display)}`;
  return `${one.name} at ${one.positives} of ${counted(one.places, 'place')}`;
}

function ratedWords(name: string, rating: Rating): string {
  if (rating === 'few') return `a few ${name}`;
  return rating === 'patches' ? `patches of ${name}` : `${name} ${rating}`;
}

function isClean(one: Line, field: string, ratingOf: (field: string, species: string) => Rating | null): boolean {
  return one.basis === 'clean round' || (one.basis === 'rating' && ratingOf(field, one.species) === 'none seen');
}

function cleanWords({ bySpecies }: FieldShown): string {
  const looked = bySpecies.filter((one) => one.basis !== 'nothing');
  const places = Math.max(0, ...looked.map((one) => one.places));
  const names = listed(looked.map((one) => one.name)).replace(' and ', ' or ');
  return `no ${names} ${places === 0 ? 'seen' : `at ${counted(places, 'place')}`}: keep it clean`;
}

/** The likeliest area first, then what it may be, then the share of places: which weed is the field's worst. */
function weightOf({ infestedAreaM2, positives, places }: Line): number {
  const share = places === 0 ? 0 : positives / places;
  return (infestedAreaM2.central ?? 0) + (infestedAreaM2.high ?? 0) / 1000 + share / 1000;
}
