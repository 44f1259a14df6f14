import { speciesIdOf } from '../agronomy/species-names.ts';

/** Species of a drawn patch from its properties: `pigweed` where none is named, null where the name is not known. */
export function patchSpeciesOf(properties: Readonly<Record<string, unknown>>): string | null {
  const named = Object.entries(properties).find(([key]) => /^(species|weed|eppo)/i.test(key))?.[1];
  if (named === undefined || named === null || named === '') return 'pigweed';
  return speciesIdOf(String(named));
}
