/** How the fields of a study stand to each other: their order on the page and their value on the ramp. */
import type { FieldStudy, Study } from '../../../shared/analysis/study.ts';

export const TIERS = [
  { tier: 1, title: 'Established', legend: 'established' },
  { tier: 2, title: 'Present', legend: 'present' },
  { tier: 3, title: 'Looked at, none found', legend: 'none found' },
] as const;

export function rankedOf(study: Study): FieldStudy[] {
  return study.fields.filter((one) => one.rank !== null).sort((a, b) => a.rank! - b.rank!);
}

/** Fields that nobody looked at, where to look first on top. */
export function unlookedOf(study: Study): FieldStudy[] {
  return study.fields
    .filter((one) => one.rank === null)
    .sort((a, b) => (a.lookRank ?? Infinity) - (b.lookRank ?? Infinity));
}

/** 1 for the first to treat, 0 for the last. */
export function rampValue(rank: number, count: number): number {
  return count <= 1 ? 1 : 1 - (rank - 1) / (count - 1);
}
