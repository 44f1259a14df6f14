/** How the fields of a study stand to each other: their order on the page and their value on the ramp. */
import type { RankedField, Ranking } from '../../../shared/analysis/ranking.ts';
import type { FieldStudy, Study } from '../../../shared/analysis/study.ts';

export const TIERS = [
  { tier: 1, title: 'Established', legend: 'established' },
  { tier: 2, title: 'Present', legend: 'present' },
  { tier: 3, title: 'Looked at, none found', legend: 'none found' },
] as const;

/** A field as the list shows it: certain as soon as the ranking is, with numbers that may come later. */
export type FieldShown = RankedField & Partial<Pick<FieldStudy, 'stakePerHa' | 'carriedIn' | 'seedsLandedInField'>>;

/** The fields of the newest ranking; where it is newer than the study, what the study said of unchanged evidence stays beside. */
export function fieldsShown(study: Study | null, ranking: Ranking | null): readonly FieldShown[] {
  if (!ranking) return study?.fields ?? [];
  return ranking.fields.map((one) => {
    const before = study?.fields.find((other) => other.id === one.id);
    if (!before || JSON.stringify(before.bySpecies) !== JSON.stringify(one.bySpecies)) return one;
    const { stakePerHa, carriedIn, seedsLandedInField } = before;
    return { ...one, stakePerHa, carriedIn, seedsLandedInField };
  });
}

export function rankedOf<Field extends RankedField>(fields: readonly Field[]): Field[] {
  return fields.filter((one) => one.rank !== null).sort((a, b) => a.rank! - b.rank!);
}

/** Fields that nobody looked at, where to look first on top. */
export function unlookedOf<Field extends RankedField>(fields: readonly Field[]): Field[] {
  return fields.filter((one) => one.rank === null).sort((a, b) => (a.lookRank ?? Infinity) - (b.lookRank ?? Infinity));
}

/** 1 for the first to treat, 0 for the last. */
export function rampValue(rank: number, count: number): number {
  return count <= 1 ? 1 : 1 - (rank - 1) / (count - 1);
}
