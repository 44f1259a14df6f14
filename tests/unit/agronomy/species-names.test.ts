import { existsSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { NAMED_SPECIES, speciesIdOf } from '../../../shared/agronomy/species-names.ts';

test.each(['', 'corn', 'AMAZZ', 'Amaranthus retroflexus', 'rag'])('"%s" names no species here', (text) => {
  expect(speciesIdOf(text)).toBeNull();
});

test.each([
  ['AMATU', 'waterhemp'],
  ['amata', 'waterhemp'],
  ['Waterhemp', 'waterhemp'],
  ['Amaranthus tuberculatus (Moq.) J.D. Sauer (incl. A. rudis)', 'waterhemp'],
  ['A. rudis', 'waterhemp'],
  ['AMAPA', 'palmer-amaranth'],
  ['palmer-amaranth', 'palmer-amaranth'],
  ['Amaranthus palmeri S. Watson', 'palmer-amaranth'],
  ['Palmer', 'palmer-amaranth'],
  ['horseweed (marestail)', 'horseweed'],
  ['Conyza canadensis', 'horseweed'],
  ['Erigeron canadensis L. (Conyza canadensis)', 'horseweed'],
  ['pigweed', 'pigweed'],
  ['Pigweed, not told apart', 'pigweed'],
  ['Amaranthus spp.', 'pigweed'],
  ['AMASS', 'pigweed'],
  ['lambsquarters', 'common-lambsquarters'],
] as const)('"%s" is %s', (text, id) => {
  expect(speciesIdOf(text)).toBe(id);
});

test('every id names itself', () => {
  for (const id of NAMED_SPECIES) expect(speciesIdOf(id)).toBe(id);
});

/** The published parameter collection beside the repository, where it is there. */
test('ids, names, Latin names and codes of the species collection are all understood', () => {
  const path = new URL('../../../../shared/science/biology.json', import.meta.url);
  if (!existsSync(path)) {
    console.warn('skipped: the species collection is not beside the repository');
    return;
  }
  const { species } = JSON.parse(readFileSync(path, 'utf8')) as {
    species: { id: string; name: string; latin: string; eppo: string; olderCodes?: string[] }[];
  };
  for (const one of species) {
    for (const name of [one.id, one.name, one.latin, one.eppo, ...(one.olderCodes ?? [])])
      expect([name, speciesIdOf(name)]).toEqual([name, one.id]);
  }
  expect(NAMED_SPECIES).toHaveLength(species.length + 1);
});
