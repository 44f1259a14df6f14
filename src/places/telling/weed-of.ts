/** Which weed is spoken of where nobody chose one. */
import { isSpecies, SPECIES } from '../../../shared/agronomy/species.ts';
import { PIGWEED } from '../../../shared/agronomy/species-names.ts';
import type { Farm } from '../../../shared/model/farm.ts';

/** The chosen weed, else the first of the farm's in the order of the science (pigweeds first), else pigweed not told apart. */
export function weedOf(farm: Farm | null, chosen: string | null): string {
  if (chosen !== null && isSpecies(chosen)) return chosen;
  return SPECIES.find((one) => farm?.thresholdPerM2[one.id] !== undefined)?.id ?? PIGWEED;
}

/** The farm's weeds, then all others that the science knows. */
export function weedsToChoose(farm: Farm | null): { id: string; name: string }[] {
  const own = SPECIES.filter((one) => farm?.thresholdPerM2[one.id] !== undefined);
  return [...own, ...SPECIES.filter((one) => !own.includes(one))].map(({ id, name }) => ({ id, name }));
}
