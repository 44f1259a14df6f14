/** How well a column's name fits a quantity, and the unit that the name tells. */
import type { WantedColumn } from './columns.ts';
import type { Quantity } from '../units/units.ts';
import { unitOfWord } from './unit-words.ts';
import type { UnitWord } from './unit-words.ts';

/** A name in small letters and digits only, what stands in brackets left out. */
export function squash(name: string): string {
  return name
    .toLowerCase()
    .replace(/[[({].*?[\])}]/g, '')
    .replace(/[^\p{L}\p{N}]/gu, '');
}

export interface NameParts {
  readonly raw: string;
  readonly squashed: string;
  readonly bracket: string | null;
}

export function partsOf(raw: string): NameParts {
  return { raw, squashed: squash(raw), bracket: /[[({]\s*([^\])}]+?)\s*[\])}]/.exec(raw)?.[1] ?? null };
}

/** The unit that ends a name behind one of the spellings: `flow_lbs`, `precipmm`, `yield_bu_ac`. */
function unitEnding(name: NameParts, spelling: string, quantity: Quantity): UnitWord | null {
  const words = name.raw
    .toLowerCase()
    .split(/[^\p{L}\p{N}²%]+/u)
    .filter(Boolean);
  for (const take of [3, 2, 1]) {
    if (words.length <= take || words.slice(0, -take).join('') !== spelling) continue;
    const ending = words.slice(-take);
    return (
      unitOfWord(ending.filter((word) => word !== 'per').join('/'), quantity) ?? unitOfWord(ending.join(''), quantity)
    );
  }
  return unitOfWord(name.squashed.slice(spelling.length), quantity);
}

/** How well a column's name fits, 0 = not at all, and the unit its ending tells. */
export function fit(name: NameParts, wanted: WantedColumn): { score: number; unit: UnitWord | null } {
  const { squashed } = name;
  if (squashed === '') return { score: 0, unit: null };
  let best = { score: 0, unit: null as UnitWord | null };
  wanted.names.forEach((spelling, place) => {
    let score = 0;
    let unit: UnitWord | null = null;
    if (squashed === spelling) score = 100 - place * 0.5;
    else if (wanted.quantity && squashed.startsWith(spelling)) {
      unit = unitEnding(name, spelling, wanted.quantity);
      if (unit) score = 97 - place * 0.5;
    }
    if (score === 0 && squashed.length >= 6 && name.raw.length <= 10 && spelling.startsWith(squashed))
      score = 60 - place * 0.5;
    if (score > best.score) best = { score, unit };
  });
  if (best.score === 0 && wanted.parts?.some((part) => squashed.includes(part))) {
    best = { score: 30, unit: wanted.quantity ? endingUnit(name, wanted.quantity) : null };
  }
  return best;
}

function endingUnit(name: NameParts, quantity: Quantity): UnitWord | null {
  const words = name.raw
    .toLowerCase()
    .split(/[^\p{L}\p{N}²%]+/u)
    .filter(Boolean);
  for (const take of [2, 1]) {
    if (words.length <= take) continue;
    const unit = unitOfWord(words.slice(-take).join('/'), quantity);
    if (unit) return unit;
  }
  return null;
}

/** The unit in a column's name: in brackets, or behind one of the spellings. */
export function unitInName(name: NameParts, wanted: WantedColumn): UnitWord | null {
  if (!wanted.quantity) return null;
  const inBrackets = name.bracket === null ? null : unitOfWord(name.bracket, wanted.quantity);
  if (inBrackets) return inBrackets;
  for (const spelling of wanted.names) {
    if (!name.squashed.startsWith(spelling) || name.squashed === spelling) continue;
    const unit = unitEnding(name, spelling, wanted.quantity);
    if (unit) return unit;
  }
  return null;
}
