/** Which scouting round a day's finds belong to: files and what is typed join the same rounds. */
import { type Day, dayNumber } from '../../units/calendar.ts';
import type { Farm, Round } from '../farm.ts';
import { DEFAULT_THRESHOLD_PER_M2 } from '../farm-words.ts';
import { freeId } from '../free-id.ts';

/** Rounds of one season closer than this are one round: a farm is walked over some weeks. */
const SAME_ROUND_DAYS = 21;

export interface RoundDays {
  readonly season: number;
  /** First and last day of the finds; null where they have none: they join the season's last round. */
  readonly from: Day | null;
  readonly to: Day | null;
}

/** The rounds with one of them changed: the season's round that the days belong to, widened to hold them, or a new one. */
export function changeRound(farm: Farm, days: RoundDays, change: (round: Round) => Round): Round[] {
  const known = roundOfDays(farm, days);
  if (known) return farm.rounds.map((one) => (one === known ? change(widened(one, days)) : one));
  return [...farm.rounds, change(newRound(farm, days))];
}

/** The last round of the season that is near enough to the days; null where a new one would be opened. */
export function roundOfDays(farm: Farm, { season, from, to }: RoundDays): Round | null {
  const near = farm.rounds.filter(
    (one) =>
      one.season === season &&
      (from === null ||
        (dayNumber(from)! <= dayNumber(one.to)! + SAME_ROUND_DAYS &&
          dayNumber(to ?? from)! >= dayNumber(one.from)! - SAME_ROUND_DAYS)),
  );
  return near.sort((a, b) => (a.to < b.to ? 1 : -1))[0] ?? null;
}

/** The weeds of the farm, with the one that was looked for among them. */
export function withSpecies(farm: Farm, species: readonly string[]): Farm['thresholdPerM2'] {
  const thresholds = { ...farm.thresholdPerM2 };
  for (const one of species) thresholds[one] ??= DEFAULT_THRESHOLD_PER_M2;
  return thresholds;
}

function widened(round: Round, { from, to }: RoundDays): Round {
  return {
    ...round,
    from: from !== null && from < round.from ? from : round.from,
    to: to !== null && to > round.to ? to : round.to,
  };
}

function newRound(farm: Farm, { season, from, to }: RoundDays): Round {
  return {
    id: freeId(`round-${season}`, new Set(farm.rounds.map((one) => one.id))),
    season,
    from: from ?? `${season}-01-01`,
    to: to ?? `${season}-12-31`,
    files: [],
    typed: [],
    patches: [],
    ratings: [],
  };
}
