/** Counts, ratings and drawn patches: they join the season's round that they belong to, or open one. */
import { intersect } from '../geometry/clip.ts';
import type { Frame } from '../geometry/local-frame.ts';
import { polygonAreaM2, toLocalPolygon } from '../geometry/polygon.ts';
import { indexPolygon } from '../geometry/polygon-index.ts';
import type { FlatMultiPolygon } from '../geometry/types.ts';
import { patchSpeciesOf } from '../import/patch-species.ts';
import { changeRound, withSpecies } from '../model/edits/rounds.ts';
import { fieldByName } from '../model/lookups.ts';
import { problem } from '../model/problem.ts';
import type {
  BoundaryFeature,
  BoundaryRecords,
  Observation,
  RatingRecords,
  ScoutingRecords,
} from '../model/records.ts';
import { dateOf, dayNumber, dayText } from '../units/calendar.ts';
import { counted } from '../units/words.ts';
import { type Context, fieldsOfFile, near, nothingPlaced, onFields, type Taken, unknownField } from './taking.ts';

export function takeScouting(context: Context, { observations }: ScoutingRecords): Taken {
  const fields = fieldsOfFile(context, (within, frame) => observationsInside(observations, within, frame));
  if (fields === null) return null;
  return takeRound(
    context,
    observations.map((one) => one.species),
    observations.map((one) => dayNumber(one.on)!),
    `a round of ${counted(observations.length, 'observation')}${onFields(fields)}`,
  );
}

export function takePatches(context: Context, { features }: BoundaryRecords): Taken {
  const fields = fieldsOfFile(context, (within, frame) => patchesInside(features, within, frame));
  if (fields === null) return null;
  return takeRound(
    context,
    features.flatMap((one) => patchSpeciesOf(one.properties) ?? []),
    [],
    `${counted(features.length, 'drawn patch', 'drawn patches')}${onFields(fields)}`,
  );
}

export function takeRatings(context: Context, { ratings }: RatingRecords): Taken {
  const { farm, incoming, problems } = context;
  for (const one of ratings) {
    if (fieldByName(farm, one.fieldName)) continue;
    problems.push(unknownField(incoming.name, one.fieldName, one.row));
  }
  if (ratings.every((one) => fieldByName(farm, one.fieldName) === null)) return nothingPlaced(context);
  const days = ratings.flatMap((one) => (one.on === null ? [] : [dayNumber(one.on)!]));
  return takeRound(
    context,
    ratings.map((one) => one.species),
    days,
    counted(ratings.length, 'rating'),
  );
}

/** Joins the file to the season's round that it belongs to, or opens one. */
export function takeRound(
  { farm, incoming, fileId, problems }: Context,
  species: readonly string[],
  days: readonly number[],
  summary: string,
): Taken {
  const named = /(?:^|\D)((?:19|20)\d\d)(?:\D|$)/.exec(incoming.name)?.[1];
  const dated = days.length > 0 ? dateOf(days.reduce((a, b) => Math.max(a, b))).year : null;
  const year = incoming.wishes.season ?? dated ?? (named === undefined ? null : Number(named));
  if (incoming.wishes.season === undefined && dated === null && year !== null) {
    problems.push(
      problem(
        'note',
        'season-from-name',
        `${incoming.name} has no date: its season is taken to be ${year}, from its name.`,
        {
          where: { file: incoming.name },
          hint: 'Say another season if that is wrong (--season 2026).',
        },
      ),
    );
  }
  if (year === null) {
    problems.push(
      problem('error', 'season-missing', `${incoming.name} has no date: its season cannot be told.`, {
        where: { file: incoming.name },
        hint: 'Say the season (--season 2026).',
      }),
    );
    return null;
  }
  const at = (pick: (a: number, b: number) => number) =>
    days.length === 0 ? null : dayText(days.reduce((a, b) => pick(a, b)));
  const rounds = changeRound(farm, { season: year, from: at(Math.min), to: at(Math.max) }, (round) => ({
    ...round,
    files: [...round.files, fileId],
  }));
  return {
    summary,
    sets: [
      { path: ['rounds'], value: rounds },
      { path: ['thresholdPerM2'], value: withSpecies(farm, species) },
    ],
  };
}

export function observationsInside(
  observations: readonly Observation[],
  boundary: FlatMultiPolygon,
  frame: Frame,
): boolean {
  const within = indexPolygon(boundary);
  return observations.some(({ at }) => near(at, frame) && within.contains(...frame.toLocal(at[0], at[1])));
}

function patchesInside(features: readonly BoundaryFeature[], boundary: FlatMultiPolygon, frame: Frame): boolean {
  return features.some(
    ({ polygon }) =>
      near(polygon[0]![0]![0]!, frame) && polygonAreaM2(intersect(boundary, toLocalPolygon(frame, polygon))) > 0,
  );
}
