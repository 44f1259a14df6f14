/**
 * What the strip of a season draws of one weed on one field: emergence and control by residuals as bands over the three cases, and the
 * gaps of cover with the share of the season's emergence that falls into each. The shares of the gaps add up to the season's in every case.
 */
import { coverGaps } from '../agronomy/cover.ts';
import { type Case, CASES, foldCases, type Range } from '../model/range.ts';
import type { FieldSeason, SpeciesSeason } from './steps/season.ts';

export type SeasonByCase = Readonly<Record<Case, FieldSeason>>;

/** By day: least, central case, greatest. */
export interface Band {
  readonly low: Float32Array;
  readonly central: Float32Array;
  readonly high: Float32Array;
}

export interface CoverGap {
  /** Day numbers in the central case, both in the gap; before the first seedlings and after the last nothing is missed. */
  readonly fromDay: number;
  readonly toDay: number;
  /** Of the season's emergence. */
  readonly shareFraction: Range;
}

export interface SpeciesStrip {
  readonly species: string;
  /** Why the curve lies where it lies, in words. */
  readonly emergenceFrom: string;
  readonly basis: string;
  readonly firstDay: number;
  /** Out before the start of each day; one longer than the season has days. */
  readonly emerged: Band;
  /** Share that residuals stop, by day. */
  readonly controlled: Band;
  readonly gaps: readonly CoverGap[];
  /** Emergence on days without cover; emergence that lived through the residuals, on such days or on others. */
  readonly inGapsFraction: Range;
  readonly uncoveredFraction: Range;
}

/** null where nothing at hand tells when the weed emerges. */
export function speciesStrip(byCase: SeasonByCase, species: string): SpeciesStrip | null {
  const found = {} as Record<Case, Known>;
  for (const which of CASES) {
    const one = byCase[which].species.find((it) => it.species === species);
    if (!one?.emergence || !one.control) return null;
    found[which] = one as Known;
  }
  const { emergence } = found.central;
  return {
    species,
    emergenceFrom: emergence.basisText,
    basis: emergence.basis,
    firstDay: emergence.firstDay,
    emerged: bandOf(CASES.map((which) => found[which].emergence.cumulative)),
    controlled: bandOf(CASES.map((which) => found[which].control)),
    gaps: gapsOf(byCase, found),
    inGapsFraction: foldOf((which) => found[which].inGapsFraction),
    uncoveredFraction: foldOf((which) => found[which].escapingFraction),
  };
}

type Known = SpeciesSeason & {
  readonly emergence: NonNullable<SpeciesSeason['emergence']>;
  readonly control: Float64Array;
};

/**
 * Spells without cover in the central case. Between two of them the season is cut in the middle of the covered days, so that every
 * gap day of every case belongs to one spell. Where only another case has gaps, they make one spell from their first day to their last.
 */
function gapsOf(byCase: SeasonByCase, found: Readonly<Record<Case, Known>>): CoverGap[] {
  const { firstDay } = found.central.emergence;
  const days = found.central.control.length;
  const spellsOf = (which: Case) => coverGaps(found[which].control, byCase[which].coverThresholdFraction).spells;
  let spells = spellsOf('central');
  if (spells.length === 0) {
    const others = [...spellsOf('mild'), ...spellsOf('harsh')];
    if (others.length === 0) return [];
    spells = [[Math.min(...others.map(([from]) => from)), Math.max(...others.map(([, to]) => to))]];
  }
  const emerging = emergingDays(found.central.emergence.cumulative);
  return spells.map(([from, to], index) => {
    const before = spells[index - 1];
    const after = spells[index + 1];
    const start = before ? Math.ceil((before[1] + from) / 2) : 0;
    const end = after ? Math.ceil((to + after[0]) / 2) : days;
    const [first, last] = emerging;
    const misses = from <= last && to >= first;
    return {
      fromDay: firstDay + (misses ? Math.max(from, first) : from),
      toDay: firstDay + (misses ? Math.min(to, last) : to),
      shareFraction: foldOf((which) => shareInGaps(found[which], byCase[which].coverThresholdFraction, start, end)),
    };
  });
}

/** Days between which all but a thousandth of the season's weeds come up. */
function emergingDays(cumulative: Float64Array): readonly [first: number, last: number] {
  const end = cumulative.length - 1;
  const total = cumulative[end]!;
  let [first, last] = [0, end - 1];
  while (first < last && cumulative[first + 1]! < 0.0005 * total) first++;
  while (last > first && cumulative[last]! > 0.9995 * total) last--;
  return [first, last];
}

/** Share of the emergence on gap days from `start` on and before `end`. */
function shareInGaps({ emergence, control }: Known, threshold: number, start: number, end: number): number {
  const { cumulative } = emergence;
  let share = 0;
  for (let day = start; day < end; day++)
    if (control[day]! < threshold) share += cumulative[day + 1]! - cumulative[day]!;
  return share;
}

/** @param byCase one curve a case, in the order of CASES */
function bandOf(byCase: readonly Float64Array[]): Band {
  const [, central] = byCase;
  const over = (of: (...values: number[]) => number) =>
    Float32Array.from(central!, (_, day) => of(...byCase.map((curve) => curve[day]!)));
  return { low: over(Math.min), central: Float32Array.from(central!), high: over(Math.max) };
}

function foldOf(of: (which: Case) => number | null): Range {
  return foldCases({ mild: of('mild'), central: of('central'), harsh: of('harsh') });
}
