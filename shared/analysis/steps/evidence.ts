/**
 * Per field, season and species: the best evidence of the season. Keyed by content, so that what is seen of one weed does not draw the
 * maps of the others anew.
 */
import { roundsOf } from '../../model/lookups.ts';
import { done } from '../../model/problem.ts';
import { defineStep } from '../define-step.ts';
import type { FieldScouting, SpeciesScouting } from './scouting.ts';

export interface WeedEvidence {
  /** The round that speaks; null where nobody looked this season. */
  readonly round: RoundDays | null;
  readonly seen: SpeciesScouting | null;
}

interface RoundDays {
  readonly id: string;
  readonly from: string;
  readonly to: string;
}

interface Settings {
  readonly species: string;
  readonly rounds: readonly RoundDays[];
}

export const evidenceStep = defineStep<Settings, WeedEvidence>({
  id: 'evidence',
  title: 'Best evidence of each weed',
  version: 1,
  per: ['field', 'season', 'species'],
  key: 'content',
  settings: (farm, scope) => ({
    species: scope.species!,
    rounds: roundsOf(farm, scope.season!).map(({ id, from, to }) => ({ id, from, to })),
  }),
  needs: (farm, scope) => ({
    scouting: roundsOf(farm, scope.season!).map((round) => ({
      step: 'scouting',
      scope: { field: scope.field!, round: round.id },
    })),
  }),
  *run({ settings, needs }) {
    yield [0, 1];
    const best = (needs['scouting'] as FieldScouting[])
      .map((scouting, index) => ({
        round: settings.rounds[index]!,
        seen: scouting.species.find((one) => one.species === settings.species) ?? null,
      }))
      .filter((one) => one.seen !== null && weightOf(one.seen) > 0)
      .sort((a, b) => weightOf(b.seen!) - weightOf(a.seen!) || (a.round.to < b.round.to ? 1 : -1))[0];
    return done({ round: best?.round ?? null, seen: best ? withoutIdleRating(best.seen!) : null });
  },
});

/** Counts weigh more than drawn patches, patches more than a rating; 'not looked' weighs nothing. */
function weightOf(seen: SpeciesScouting): number {
  if (seen.places.length > 0) return 3;
  if (seen.patches.length > 0) return 2;
  return seen.rating !== null && seen.rating !== 'not looked' ? 1 : 0;
}

/** Beside counts or patches a rating says nothing more. */
function withoutIdleRating(seen: SpeciesScouting): SpeciesScouting {
  return seen.places.length + seen.patches.length > 0 ? { ...seen, rating: null } : seen;
}
