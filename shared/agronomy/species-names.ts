/**
 * What people call the weeds, as a species id: EPPO codes (older ones too), common names, Latin names.
 * @source Ids, names and codes: biology.json → species. Further common names and AMASS (Amaranthus, species not told apart): memory.
 */

/** Id of "pigweed, not told apart". */
export const PIGWEED = 'pigweed';

interface Names {
  readonly id: string;
  readonly codes: readonly string[];
  readonly latin: readonly string[];
  readonly common: readonly string[];
}

const SPECIES: readonly Names[] = [
  {
    id: 'waterhemp',
    codes: ['AMATU', 'AMATA'],
    latin: ['Amaranthus tuberculatus', 'Amaranthus rudis'],
    common: ['waterhemp', 'common waterhemp', 'tall waterhemp'],
  },
  {
    id: 'palmer-amaranth',
    codes: ['AMAPA'],
    latin: ['Amaranthus palmeri'],
    common: ['Palmer amaranth', 'Palmer', 'Palmer pigweed'],
  },
  { id: 'giant-ragweed', codes: ['AMBTR'], latin: ['Ambrosia trifida'], common: ['giant ragweed'] },
  { id: 'common-ragweed', codes: ['AMBEL'], latin: ['Ambrosia artemisiifolia'], common: ['common ragweed'] },
  {
    id: 'horseweed',
    codes: ['ERICA'],
    latin: ['Erigeron canadensis', 'Conyza canadensis'],
    common: ['horseweed', 'marestail', 'horseweed (marestail)', 'mare’s tail'],
  },
  { id: 'kochia', codes: ['KCHSC'], latin: ['Bassia scoparia', 'Kochia scoparia'], common: ['kochia'] },
  { id: 'giant-foxtail', codes: ['SETFA'], latin: ['Setaria faberi'], common: ['giant foxtail'] },
  {
    id: 'common-lambsquarters',
    codes: ['CHEAL'],
    latin: ['Chenopodium album'],
    common: ['common lambsquarters', 'lambsquarters', 'lamb’s quarters', 'fat hen'],
  },
  { id: 'velvetleaf', codes: ['ABUTH'], latin: ['Abutilon theophrasti'], common: ['velvetleaf', 'velvet leaf'] },
  { id: 'wild-oat', codes: ['AVEFA'], latin: ['Avena fatua'], common: ['wild oat', 'wild oats'] },
  { id: 'rigid-ryegrass', codes: ['LOLRI'], latin: ['Lolium rigidum'], common: ['rigid ryegrass', 'annual ryegrass'] },
  { id: 'italian-ryegrass', codes: ['LOLMU'], latin: ['Lolium multiflorum'], common: ['Italian ryegrass'] },
  {
    id: PIGWEED,
    codes: ['AMASS'],
    latin: ['Amaranthus', 'Amaranthus spp.', 'Amaranthus sp.'],
    common: ['pigweed', 'pigweeds', 'pigweed, not told apart', 'pigweed species', 'amaranth'],
  },
];

function plain(text: string): string {
  return text.toLowerCase().replace(/[^a-z]/g, '');
}

const IDS: ReadonlyMap<string, string> = new Map(
  SPECIES.flatMap(({ id, codes, latin, common }) =>
    [id, ...codes, ...latin, ...common, ...latin.map((name) => name.replace(/^(\w)\w+ /, '$1 '))].map(
      (name) => [plain(name), id] as const,
    ),
  ),
);

/**
 * The species that `text` names, or null: "AMATU", "Waterhemp", "Amaranthus tuberculatus (Moq.) J.D. Sauer", "A. palmeri".
 * A Latin name may carry its author. Letters only count: case, blanks, hyphens and dots do not.
 */
export function speciesIdOf(text: string): string | null {
  const whole = IDS.get(plain(text));
  if (whole) return whole;
  const inBrackets = /^(.*?)\s*\((.*)\)/.exec(text);
  if (inBrackets) {
    const outside = IDS.get(plain(inBrackets[1]!));
    const inside = IDS.get(plain(inBrackets[2]!));
    if (outside ?? inside) return (outside ?? inside)!;
  }
  const latin = /^\s*([A-Z][a-z]*\.?)\s+([a-z]{4,})\b/.exec(text);
  return latin ? (IDS.get(plain(latin[1]! + latin[2]!)) ?? null) : null;
}

/** All ids that a name can give. */
export const NAMED_SPECIES: readonly string[] = SPECIES.map(({ id }) => id);
