/** A field rated in a word, by one press. */
import type { Day } from '../../units/calendar.ts';
import type { Edit } from '../edit.ts';
import type { Farm, Round } from '../farm.ts';
import type { Rating } from '../records.ts';
import type { Named } from './named.ts';
import { changeRound, withSpecies } from './rounds.ts';

export const RATINGS: readonly Rating[] = ['not looked', 'none seen', 'few', 'patches', 'throughout'];

export interface RatingGiven {
  readonly field: Named;
  readonly species: Named;
  readonly rating: Rating;
  readonly season: number;
  /** null: some time in the season. */
  readonly on: Day | null;
}

/**
 * The field's word for the weed, in the round of that day. "Not looked" takes the word back in every round of the season, and
 * stands against the word of a file where a round has one.
 */
export function rateField(farm: Farm, given: RatingGiven): Edit {
  const { field, species, rating, season, on } = given;
  const rounds =
    rating === 'not looked'
      ? farm.rounds.map((round) => (round.season === season ? notLooked(farm, round, given) : round))
      : changeRound(farm, { season, from: on, to: on }, (round) => rated(round, given));
  const looked = rating === 'not looked' ? [] : [{ path: ['thresholdPerM2'], value: withSpecies(farm, [species.id]) }];
  return {
    label: `Rate ${field.name}: ${species.name}, ${rating}`,
    sets: [{ path: ['rounds'], value: rounds }, ...looked],
  };
}

/** A word that came in a file of a round. */
export interface FileRating {
  readonly round: string;
  readonly field: string;
  readonly species: string;
  readonly rating: Rating;
}

/** The word that a field has for a weed in a season: of the latest round, and there the typed one before a file's. */
export function ratingIn(
  farm: Farm,
  season: number,
  field: string,
  species: string,
  fromFiles: readonly FileRating[],
): Rating | null {
  const isIt = (one: { field: string; species: string }) => one.field === field && one.species === species;
  const rounds = farm.rounds.filter((one) => one.season === season).sort((a, b) => (a.to < b.to ? 1 : -1));
  for (const round of rounds) {
    const found = round.ratings.find(isIt) ?? fromFiles.filter((one) => one.round === round.id && isIt(one)).at(-1);
    if (found) return found.rating;
  }
  return null;
}

function rated(round: Round, { field, species, rating }: RatingGiven): Round {
  return {
    ...round,
    ratings: [...others(round, field.id, species.id), { field: field.id, species: species.id, rating }],
  };
}

function notLooked(farm: Farm, round: Round, given: RatingGiven): Round {
  const { field, species } = given;
  const hasFile = farm.files.some((one) => one.kind === 'ratings' && round.files.includes(one.id));
  return hasFile ? rated(round, given) : { ...round, ratings: others(round, field.id, species.id) };
}

function others(round: Round, field: string, species: string): Round['ratings'] {
  return round.ratings.filter((one) => one.field !== field || one.species !== species);
}
