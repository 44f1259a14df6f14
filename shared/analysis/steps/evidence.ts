/**
 * Per field, season and species: the best evidence of the season. Keyed by content, so that what is seen of one weed does not draw the
 * maps of the others anew. What was seen after the field was cut is set aside: those plants took nothing from this crop and the combine
 * never met them, and none of them left says nothing of what stood before. It is told, and has a map of its own beside other rounds.
 */
import { cutOn, roundsOf } from '../../model/lookups.ts';
import { done } from '../../model/problem.ts';
import { defineStep } from '../define-step.ts';
import type { FieldScouting, SpeciesScouting } from './scouting.ts';

export interface WeedEvidence {
  /** The round that speaks; null where nobody looked this season. */
  readonly round: RoundDays | null;
  readonly seen: SpeciesScouting | null;
  /** Rounds that saw this weed, or looked for it, only after the field was cut. */
  readonly afterHarvest: readonly RoundDays[];
}

export interface RoundDays {
  readonly id: string;
  readonly from: string;
  readonly to: string;
}

interface Settings {
  readonly species: string;
  readonly rounds: readonly RoundDays[];
  /** The last day on which its harvest was begun; null: nobody knows, and no round is set aside. */
  readonly cutOn: string | null;
}

export const evidenceStep = defineStep<Settings, WeedEvidence>({
  id: 'evidence',
  title: 'Best evidence of each weed',
  version: 2,
  per: ['field', 'season', 'species'],
  key: 'content',
  settings: (farm, scope) => ({
    species: scope.species!,
    rounds: roundsOf(farm, scope.season!).map(({ id, from, to }) => ({ id, from, to })),
    cutOn: cutOn(farm, scope.field!, scope.season!),
  }),
  needs: (farm, scope) => ({
    scouting: roundsOf(farm, scope.season!).map((round) => ({
      step: 'scouting',
      scope: { field: scope.field!, round: round.id },
    })),
  }),
  *run({ settings, needs }) {
    yield [0, 1];
    const { cutOn, rounds, species } = settings;
    const looked = (needs['scouting'] as FieldScouting[]).flatMap((scouting, index) => {
      const seen = scouting.species.find((one) => one.species === species);
      const isAfter = cutOn !== null && scouting.firstOn > cutOn;
      return seen && weightOf(seen) > 0 ? [{ round: rounds[index]!, seen, isAfter }] : [];
    });
    const best = looked
      .filter((one) => !one.isAfter)
      .sort((a, b) => weightOf(b.seen) - weightOf(a.seen) || (a.round.to < b.round.to ? 1 : -1))[0];
    return done({
      round: best?.round ?? null,
      seen: best ? withoutIdleRating(best.seen) : null,
      afterHarvest: looked.filter((one) => one.isAfter).map((one) => one.round),
    });
  },
});

/** Why a round that came after the field was cut is not in this season's numbers. */
export function setAsideInWords({ from, to }: RoundDays): string {
  const days = from === to ? from : `${from} to ${to}`;
  return `Looked at after the field was cut (${days}): those plants took nothing from this crop and the combine never met them, so this season’s loss and seed do not rest on that round.`;
}

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
