/**
 * The weeds that the tool knows. "Pigweed, not told apart" is a species of its own: seedlings of waterhemp and Palmer
 * amaranth are hard to tell apart, and its parameters are the union of both ranges.
 * @source EPPO codes AMATU and AMAPA read, the others from memory (biology.json → species).
 */
export type SpeciesId =
  | 'waterhemp'
  | 'palmer-amaranth'
  | 'pigweed'
  | 'giant-ragweed'
  | 'common-ragweed'
  | 'horseweed'
  | 'kochia'
  | 'giant-foxtail'
  | 'common-lambsquarters'
  | 'velvetleaf'
  | 'wild-oat'
  | 'rigid-ryegrass'
  | 'italian-ryegrass';

export interface Species {
  readonly id: SpeciesId;
  readonly name: string;
  readonly latin: string;
  /** null where no code stands for the group. */
  readonly eppo: string | null;
  readonly isPigweed: boolean;
}

const one = (id: SpeciesId, name: string, latin: string, eppo: string | null, isPigweed = false): Species => ({
  id,
  name,
  latin,
  eppo,
  isPigweed,
});

export const SPECIES: readonly Species[] = [
  one('waterhemp', 'waterhemp', 'Amaranthus tuberculatus', 'AMATU', true),
  one('palmer-amaranth', 'Palmer amaranth', 'Amaranthus palmeri', 'AMAPA', true),
  one('pigweed', 'pigweed, not told apart', 'Amaranthus tuberculatus or palmeri', null, true),
  one('giant-ragweed', 'giant ragweed', 'Ambrosia trifida', 'AMBTR'),
  one('common-ragweed', 'common ragweed', 'Ambrosia artemisiifolia', 'AMBEL'),
  one('horseweed', 'horseweed (marestail)', 'Erigeron canadensis', 'ERICA'),
  one('kochia', 'kochia', 'Bassia scoparia', 'KCHSC'),
  one('giant-foxtail', 'giant foxtail', 'Setaria faberi', 'SETFA'),
  one('common-lambsquarters', 'common lambsquarters', 'Chenopodium album', 'CHEAL'),
  one('velvetleaf', 'velvetleaf', 'Abutilon theophrasti', 'ABUTH'),
  one('wild-oat', 'wild oat', 'Avena fatua', 'AVEFA'),
  one('rigid-ryegrass', 'rigid ryegrass', 'Lolium rigidum', 'LOLRI'),
  one('italian-ryegrass', 'Italian ryegrass', 'Lolium multiflorum', 'LOLMU'),
];

const byId = new Map<string, Species>(SPECIES.map((species) => [species.id, species]));

export function isSpecies(id: string): id is SpeciesId {
  return byId.has(id);
}

/** @throws on an unknown id. */
export function speciesOf(id: string): Species {
  const found = byId.get(id);
  if (!found) throw new Error(`speciesOf: no species "${id}"`);
  return found;
}
