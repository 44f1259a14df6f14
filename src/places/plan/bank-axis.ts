/** The one axis that the seedbanks of all programs of a field are drawn on. */
import type { Range } from '../../../shared/model/range.ts';
import { type Display, shownUnit } from '../../../shared/units/format.ts';
import { fromSI, UNITS } from '../../../shared/units/units.ts';

export interface BankAxis {
  /** Of the unit shown, for one seed/m². */
  readonly factor: number;
  /** "seeds per ft²". */
  readonly unit: string;
  /** Powers of ten of the unit shown, whole. */
  readonly from: number;
  readonly to: number;
  readonly springs: number;
}

/** Less than one seed in a hundred square meters is drawn at the foot of the axis. */
export const LEAST_PER_M2 = 0.01;
/** More decades than this cannot be told apart in a small picture. */
const MOST_DECADES = 8;

/** null where no bank can be told. */
export function bankAxis(programs: readonly (readonly Range[])[], display: Display): BankAxis | null {
  const told = programs.filter((banks) => banks.length > 0 && banks[0]!.low !== null);
  if (told.length === 0) return null;
  const all = told.flat();
  const shown = shownUnit('count per area', display);
  const factor = fromSI(1, shown);
  const most = factor * Math.max(...all.map((one) => one.high ?? 0), 1);
  const least = factor * Math.max(LEAST_PER_M2, Math.min(...all.map((one) => one.low ?? Infinity)));
  const to = Math.ceil(Math.log10(most));
  const from = Math.max(Math.min(Math.floor(Math.log10(least)), to - 1), to - MOST_DECADES);
  return {
    factor,
    unit: `seeds per ${UNITS[shown].symbol.slice(1)}`,
    from,
    to,
    springs: Math.max(...told.map((one) => one.length)),
  };
}

/** Place on the axis, 0 at its foot to 1 at its top; what is below the foot stands on it. */
export function alongAxis({ factor, from, to }: BankAxis, perM2: number): number {
  const decades = perM2 > 0 ? Math.log10(factor * perM2) : -Infinity;
  return Math.min(1, Math.max(0, (decades - from) / (to - from)));
}
