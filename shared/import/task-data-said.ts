/**
 * What a person says of task data that it does not say itself: one value for all records, as "=17 %" or "=30 ft". It stands in where
 * nothing is logged, and never against what is.
 */
import { problem, type Problem } from '../model/problem.ts';
import type { ColumnReading } from '../model/records.ts';
import { type Quantity, toSI, type UnitId, UNITS } from '../units/units.ts';
import type { ReadingWishes } from './importer.ts';
import { isWidth, WIDEST_M } from './log-limits.ts';
import { numberOf } from './number-text.ts';
import { unitOfWord } from './unit-words.ts';

/** A quantity that one value can be said of. */
export interface SayableQuantity {
  readonly id: 'moisture' | 'swath' | 'density';
  readonly title: string;
  readonly quantity: Quantity;
  /** As a person may write it. */
  readonly example: string;
}

export const SAYABLE: readonly SayableQuantity[] = [
  { id: 'moisture', title: 'moisture', quantity: 'fraction', example: '17 %' },
  { id: 'swath', title: 'cut width', quantity: 'length', example: '30 ft' },
  { id: 'density', title: 'weight of a volume of the grain', quantity: 'mass per volume', example: '56 lb/bu' },
];

/** SI; null where nothing was said. */
export interface SaidValues {
  readonly moistureFraction: number | null;
  readonly swathM: number | null;
  readonly densityKgM3: number | null;
}

export interface Said {
  readonly values: SaidValues;
  readonly readings: Readonly<Record<string, ColumnReading>>;
  readonly problems: readonly Problem[];
}

/** Grain weighs 300 (sunflower) to 900 kg/m³; twice the span is believed. *Assumed*. */
const DENSITY_KG_M3 = { least: 150, most: 1800 };

const [POINT, COMMA] = [46, 44] as const;

/** Why a value is not believed; null where it is. */
const DOUBTS: Readonly<Record<SayableQuantity['id'], (value: number) => string | null>> = {
  moisture: (value) => (value > 0 && value < 1 ? null : 'moisture lies between 0 and 100 %'),
  swath: (value) => (value > 0 && isWidth(value) ? null : `a cut width lies between 0 and ${WIDEST_M} m`),
  density: (value) =>
    value >= DENSITY_KG_M3.least && value <= DENSITY_KG_M3.most
      ? null
      : `grain weighs ${DENSITY_KG_M3.least} to ${DENSITY_KG_M3.most} kg/m³ (12 to 140 lb/bu)`,
};

export function readSaid({ columns = {}, units = {} }: ReadingWishes, file: string): Said {
  const problems: Problem[] = [];
  const readings: Record<string, ColumnReading> = {};
  const valueOf = (one: SayableQuantity): number | null => {
    const wish = columns[one.id]?.trim() ?? '';
    if (wish === '' || wish === '-') return null;
    const read = readValue(wish, units[one.id], one);
    if (typeof read === 'string') {
      const text = `"${wish}" cannot be used as ${one.title}: ${read}.`;
      problems.push(
        problem('error', 'said-value', text, { where: { file }, hint: `Say it as "=${one.example}", with its unit.` }),
      );
      return null;
    }
    const because = 'one value for all records that log none, said by a person';
    readings[one.id] = { column: wish, unit: read.unit, because, by: 'person' };
    return read.value;
  };
  const [moistureFraction, swathM, densityKgM3] = SAYABLE.map(valueOf) as [number | null, number | null, number | null];
  return { values: { moistureFraction, swathM, densityKgM3 }, readings, problems };
}

/** SI with the unit it was said in, or what is wrong. */
function readValue(
  wish: string,
  saidUnit: string | undefined,
  { id, quantity }: SayableQuantity,
): { value: number; unit: UnitId } | string {
  if (!wish.startsWith('=')) return 'task data has no columns; one value for all records begins with "="';
  const parts = /^=\s*([\d.,+-]+)\s*(\D.*)?$/.exec(wish);
  const number = parts ? numberOf(parts[1]!, parts[1]!.includes(',') ? COMMA : POINT) : NaN;
  if (!Number.isFinite(number)) return 'it is no number';
  const written = parts?.[2]?.trim() ?? saidUnit;
  const unit = written === undefined ? null : unitOfWord(written, quantity);
  if (unit === null || unit === 'bu/ac') {
    const known = (Object.keys(UNITS) as UnitId[]).filter((one) => UNITS[one].quantity === quantity);
    return `${written === undefined ? 'it has no unit' : `"${written}" is no unit of it`} (known: ${known.join(', ')})`;
  }
  const value = toSI(number, unit);
  return DOUBTS[id](value) ?? { value, unit };
}
