/** What became of a weed from round to round: on one field cell by cell, and over the whole farm in the ladder's terms. */
import type { Infestation } from '../agronomy/infestation.ts';
import { createFrame } from '../geometry/local-frame.ts';
import type { GridShape, LonLat } from '../geometry/types.ts';
import type { Farm, Round } from '../model/farm.ts';
import { DEFAULT_THRESHOLD_PER_M2 } from '../model/farm-words.ts';
import { type Range, UNKNOWN_RANGE } from '../model/range.ts';
import { type CellChange, cellChange, groundSaid, rangeOfChange } from '../scouting/change-between.ts';
import { type RoundTold, roundTold, type Turn, turnOf } from '../scouting/round-told.ts';
import { type PlacePair, type SamePlaces, samePlaces } from '../scouting/same-places.ts';
import type { ResultOf } from './step.ts';
import type { WeedEvidence } from './steps/evidence.ts';
import type { FieldGround } from './steps/field.ts';
import type { FieldInfestation } from './steps/infestation.ts';
import type { FieldScouting, SpeciesScouting } from './steps/scouting.ts';

export interface RoundDays {
  readonly id: string;
  readonly season: number;
  readonly from: string;
  readonly to: string;
}

export interface FieldRound extends RoundDays {
  readonly told: RoundTold;
}

export interface FieldOverRounds {
  readonly field: string;
  readonly name: string;
  readonly areaM2: number;
  /** Of each round, the earliest first. */
  readonly rounds: readonly FieldRound[];
  /** The last two rounds in which somebody looked for it here, and what became of it; null where there are no two. */
  readonly last: { readonly earlier: string; readonly later: string; readonly turn: Turn } | null;
}

export interface WeedOverRounds {
  readonly species: string;
  readonly rounds: readonly RoundDays[];
  readonly fields: readonly FieldOverRounds[];
}

/** The weed on every field in every round; nothing but what was seen, so that no map has to be drawn. */
export function weedOverRounds(farm: Farm, species: string, result: ResultOf): WeedOverRounds {
  const rounds = inTime(farm);
  const fields = farm.fields.flatMap(({ id: field, name }): FieldOverRounds[] => {
    const ground = result<FieldGround>('field', { field });
    if (!ground) return [];
    const told = rounds.map((round) => ({
      ...daysOf(round),
      told: roundTold(seenIn(field, round.id, species, result)),
    }));
    const [earlier, later] = told.filter((one) => one.told.rests !== 'nothing').slice(-2);
    const last =
      earlier && later ? { earlier: earlier.id, later: later.id, turn: turnOf(earlier.told, later.told) } : null;
    return [{ field, name, areaM2: ground.areaM2, rounds: told, last }];
  });
  return { species, rounds: rounds.map(daysOf), fields };
}

export interface ChangeAsk {
  readonly field: string;
  readonly species: string;
  /** Ids of rounds. */
  readonly earlier: string;
  readonly later: string;
}

export interface RoundOfChange extends FieldRound {
  readonly basis: Infestation['basis'];
  readonly infestedAreaM2: Range;
  readonly knownAreaM2: number;
}

export interface FieldChange {
  readonly field: string;
  readonly species: string;
  readonly thresholdPerM2: number;
  readonly areaM2: number;
  readonly earlier: RoundOfChange;
  readonly later: RoundOfChange;
  readonly turn: Turn;
  /** null where no ground is named in one of the rounds: a word, or nothing. */
  readonly ground:
    | ({
        /** Ground above the threshold, later less earlier; unknown where the two do not speak of the same ground. */
        readonly infestedChangeM2: Range;
        readonly origin: LonLat;
        readonly grid: GridShape;
      } & CellChange)
    | null;
  readonly samePlaces: Omit<SamePlaces, 'pairs'> & {
    readonly pairs: readonly (PlacePair & { readonly at: LonLat })[];
  };
}

/** Infested areas of two maps are held against each other where what they know differs by no more of the field than this. */
const SAME_GROUND = 0.1;

/** null where the field cannot be laid out. @throws where there is no such round */
export function fieldChange(
  farm: Farm,
  { field, species, earlier, later }: ChangeAsk,
  result: ResultOf,
): FieldChange | null {
  const ground = result<FieldGround>('field', { field });
  if (!ground) return null;
  const thresholdPerM2 = farm.thresholdPerM2[species] ?? DEFAULT_THRESHOLD_PER_M2;
  const [a, b] = [earlier, later].map((id) => roundOf(farm, field, id, species, result)) as [Seen, Seen];
  const said = [a, b].map((one) => one.map && groundSaid(one.map, ground.grid, one.places, thresholdPerM2));
  const frame = createFrame(ground.origin);
  const places = samePlaces(a.places, b.places);
  return {
    field,
    species,
    thresholdPerM2,
    areaM2: ground.areaM2,
    earlier: a.round,
    later: b.round,
    turn: turnOf(a.round.told, b.round.told),
    ground:
      said[0] && said[1]
        ? {
            ...cellChange(said[0], said[1], ground.cellAreaM2),
            infestedChangeM2: isSameGround(a, b, ground.areaM2)
              ? rangeOfChange(a.round.infestedAreaM2, b.round.infestedAreaM2)
              : UNKNOWN_RANGE,
            origin: ground.origin,
            grid: ground.grid,
          }
        : null,
    samePlaces: {
      ...places,
      pairs: places.pairs.map((one) => ({ ...one, at: frame.toLonLat(one.later.xM, one.later.yM) })),
    },
  };
}

interface Seen {
  readonly round: RoundOfChange;
  readonly places: SpeciesScouting['places'];
  /** null where it names no ground. */
  readonly map: Infestation | null;
}

/** The season's own map where it rests on this round, so that nothing else is shown here than there. */
function roundOf(farm: Farm, field: string, id: string, species: string, result: ResultOf): Seen {
  const round = farm.rounds.find((one) => one.id === id);
  if (!round) throw new Error(`fieldChange: no round ${id}`);
  const seen = seenIn(field, id, species, result);
  const scope = { field, season: round.season, species };
  const isSeasons = result<WeedEvidence>('evidence', scope)?.round?.id === id;
  const map = isSeasons
    ? (result<FieldInfestation>('infestation', scope)?.map ?? null)
    : result<Infestation>('round-infestation', { field, round: id, species });
  return {
    round: {
      ...daysOf(round),
      told: roundTold(seen),
      basis: map?.basis ?? 'nothing',
      infestedAreaM2: map?.infestedAreaM2 ?? UNKNOWN_RANGE,
      knownAreaM2: map?.knownAreaM2 ?? 0,
    },
    places: seen?.places ?? [],
    map: map === null || map.basis === 'nothing' || map.basis === 'rating' ? null : map,
  };
}

function isSameGround(a: Seen, b: Seen, areaM2: number): boolean {
  const known = ({ map, round }: Seen) => (map?.infestedFractionOf === 'field' ? areaM2 : round.knownAreaM2);
  return Math.abs(known(a) - known(b)) <= SAME_GROUND * areaM2;
}

function seenIn(field: string, round: string, species: string, result: ResultOf): SpeciesScouting | null {
  const scouting = result<FieldScouting>('scouting', { field, round });
  return scouting?.species.find((one) => one.species === species) ?? null;
}

function inTime(farm: Farm): readonly Round[] {
  return [...farm.rounds].sort((a, b) => a.season - b.season || (a.to < b.to ? -1 : a.to > b.to ? 1 : 0));
}

function daysOf({ id, season, from, to }: Round): RoundDays {
  return { id, season, from, to };
}
