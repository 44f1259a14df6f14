/**
 * From a file that was read to the edit that puts it into the document: fields from boundaries, a round from counts, ratings and
 * patches, a visit from a harvest log, crops and sprayings into their seasons. Nothing changes until the edit is applied.
 */
import { geodesicDistanceM } from '../geometry/geodesic.ts';
import { intersect } from '../geometry/clip.ts';
import { createFrame, type Frame, frameOriginOf } from '../geometry/local-frame.ts';
import { polygonAreaM2, polygonBounds, toLocalPolygon } from '../geometry/polygon.ts';
import { indexPolygon } from '../geometry/polygon-index.ts';
import type { Bounds, LonLat, MultiPolygon } from '../geometry/types.ts';
import type { ReadFile, ReadingWishes } from '../import/importer.ts';
import { patchSpeciesOf } from '../import/patch-species.ts';
import type { Edit } from '../model/edit.ts';
import { DEFAULT_THRESHOLD_PER_M2, type Farm, type FarmFile, type Round, type Season } from '../model/farm.ts';
import { fieldByName } from '../model/lookups.ts';
import { done, type Outcome, type Problem, problem, refused } from '../model/problem.ts';
import type { BoundaryFeature, CropRecords, HarvestLogRecords, Observation } from '../model/records.ts';
import { dateOf, dayNumber, dayText } from '../units/calendar.ts';

/** A file as the person gave it, already read. */
export interface IncomingFile {
  readonly name: string;
  readonly sha256: string;
  readonly bytes: number;
  readonly parts: readonly { readonly name: string; readonly sha256: string; readonly bytes: number }[];
  readonly read: ReadFile;
  readonly wishes: ReadingWishes;
}

export interface TakenIn {
  readonly edit: Edit;
  readonly fileId: string;
  /** What came in, in words: "8 fields", "a round of 214 observations on 9 fields". */
  readonly summary: string;
}

/** Share of a log's records that must lie in a field for it to be that field's log. */
const LOG_IN_FIELD_FRACTION = 0.5;
/** Rounds of one season closer than this are one round: a farm is walked over some weeks. */
const SAME_ROUND_DAYS = 21;

export function takeIn(farm: Farm, incoming: IncomingFile): Outcome<TakenIn> {
  const known = farm.files.find((one) => one.sha256 === incoming.sha256);
  if (known) {
    return refused(
      problem('warning', 'file-known', `${incoming.name} is already in the farm as ${known.name}.`, {
        where: { file: incoming.name },
      }),
    );
  }
  const ids = new Set(farm.files.map((one) => one.id));
  const fileId = freeId(`f-${incoming.sha256.slice(0, 12)}`, ids);
  ids.add(fileId);
  const context: Context = { farm, incoming, fileId, problems: [] };
  const taken = takeRecords(context);
  if (!taken) return { ok: false, problems: context.problems };
  // Parts of two shapefiles may be equal bytes (.prj): each has an id of its own, the attachment is one.
  const parts = incoming.parts.map((part): FarmFile => {
    const id = freeId(`f-${part.sha256.slice(0, 12)}`, ids);
    ids.add(id);
    const reading = { importer: 'part', columns: {} };
    return { id, sha256: part.sha256, name: part.name, bytes: part.bytes, kind: 'part', reading };
  });
  const { reading } = incoming.read;
  const file: FarmFile = {
    id: fileId,
    sha256: incoming.sha256,
    name: incoming.name,
    bytes: incoming.bytes,
    kind: reading.takenFor,
    ...(parts.length === 0 ? {} : { parts: parts.map((one) => one.id) }),
    reading: {
      importer: reading.importer,
      ...(incoming.wishes.as === undefined ? {} : { as: incoming.wishes.as }),
      ...(incoming.wishes.crs === undefined ? {} : { crs: incoming.wishes.crs }),
      ...(incoming.wishes.utcOffsetMinutes === undefined ? {} : { utcOffsetMinutes: incoming.wishes.utcOffsetMinutes }),
      ...(incoming.wishes.rowSpacingM === undefined ? {} : { rowSpacingM: incoming.wishes.rowSpacingM }),
      columns: { ...reading.columns },
    },
  };
  const edit: Edit = {
    label: `Add ${taken.summary} from ${incoming.name}`,
    sets: [{ path: ['files'], value: [...farm.files, file, ...parts] }, ...taken.sets],
  };
  return done({ edit, fileId, summary: taken.summary }, context.problems);
}

interface Context {
  readonly farm: Farm;
  readonly incoming: IncomingFile;
  readonly fileId: string;
  readonly problems: Problem[];
}
type Taken = { summary: string; sets: Edit['sets'] } | null;

function takeRecords(context: Context): Taken {
  const { records } = context.incoming.read;
  switch (records.kind) {
    case 'boundaries':
      return takeBoundaries(context);
    case 'drawn patches':
      if (!liesOnFarm(context, (within, frame) => patchesInside(records.features, within, frame))) return null;
      return takeRound(
        context,
        records.features.flatMap((one) => patchSpeciesOf(one.properties) ?? []),
        [],
        count(records.features.length, 'drawn patch', 'drawn patches'),
      );
    case 'scouting':
      if (!liesOnFarm(context, (within, frame) => observationsInside(records.observations, within, frame))) return null;
      return takeRound(
        context,
        records.observations.map((one) => one.species),
        records.observations.map((one) => dayNumber(one.on)!),
        `a round of ${count(records.observations.length, 'observation')}`,
      );
    case 'ratings':
      return takeRatings(context);
    case 'harvest log':
      return takeLog(context, records);
    case 'weather': {
      const years = [...new Set([...records.day].map((number) => dateOf(number).year))];
      return {
        summary: `daily weather of ${years.join(', ')}`,
        sets: setSeasons(context, years, (season) => ({ ...season, weather: [...season.weather, context.fileId] })),
      };
    }
    case 'crops':
      return takeCrops(context);
    case 'sprayings':
      return takeSprayings(context);
  }
}

function takeBoundaries({ farm, incoming, fileId, problems }: Context): Taken {
  const { records } = incoming.read;
  if (records.kind !== 'boundaries') return null;
  if (records.features.length === 0) {
    problems.push(
      problem('error', 'no-fields-in-file', `${incoming.name} holds no field that can be used.`, {
        where: { file: incoming.name },
      }),
    );
    return null;
  }
  const ids = new Set(farm.fields.map((one) => one.id));
  const fields = records.features.map((feature) => {
    // Two of one name within the file are told by its reader.
    if (farm.fields.some((one) => fieldByName({ ...farm, fields: [one] }, feature.name) !== null)) {
      problems.push(
        problem('warning', 'field-name-twice', `There is already a field named ${feature.name}; both are kept.`, {
          where: { file: incoming.name, feature: feature.feature },
          hint: 'Rename one: records are matched to fields by name.',
        }),
      );
    }
    const id = freeId(slug(feature.name), ids);
    ids.add(id);
    return {
      id,
      name: feature.name,
      ours: true,
      frameOrigin: frameOriginOf(boundsOf(feature.polygon)),
      boundary: feature.polygon,
      exclusions: [],
      from: { file: fileId, feature: feature.feature },
    };
  });
  return { summary: count(fields.length, 'field'), sets: [{ path: ['fields'], value: [...farm.fields, ...fields] }] };
}

function takeRatings(context: Context): Taken {
  const { farm, incoming, problems } = context;
  const { records } = incoming.read;
  if (records.kind !== 'ratings') return null;
  for (const one of records.ratings) {
    if (fieldByName(farm, one.fieldName)) continue;
    problems.push(unknownField(incoming.name, one.fieldName, one.row));
  }
  if (records.ratings.every((one) => fieldByName(farm, one.fieldName) === null)) return nothingPlaced(context);
  const days = records.ratings.flatMap((one) => (one.on === null ? [] : [dayNumber(one.on)!]));
  return takeRound(
    context,
    records.ratings.map((one) => one.species),
    days,
    count(records.ratings.length, 'rating'),
  );
}

/** Joins the file to the season's round that it belongs to, or opens one. */
function takeRound(
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
          hint: 'Say otherwise with --season.',
        },
      ),
    );
  }
  if (year === null) {
    problems.push(
      problem('error', 'season-missing', `${incoming.name} has no date: its season cannot be told.`, {
        where: { file: incoming.name },
        hint: 'Say the season: --season 2026.',
      }),
    );
    return null;
  }
  const from = days.length > 0 ? days.reduce((a, b) => Math.min(a, b)) : null;
  const to = days.length > 0 ? days.reduce((a, b) => Math.max(a, b)) : null;
  const sameSeason = farm.rounds.filter((one) => one.season === year);
  const near = sameSeason
    .filter(
      (one) =>
        from === null ||
        (from <= dayNumber(one.to)! + SAME_ROUND_DAYS && to! >= dayNumber(one.from)! - SAME_ROUND_DAYS),
    )
    .sort((a, b) => (a.to < b.to ? 1 : -1))[0];
  const rounds: Round[] = near
    ? farm.rounds.map((one) =>
        one.id !== near.id
          ? one
          : {
              ...one,
              from: from === null ? one.from : earlier(one.from, dayText(from)),
              to: to === null ? one.to : later(one.to, dayText(to)),
              files: [...one.files, fileId],
            },
      )
    : [
        ...farm.rounds,
        {
          id: freeId(`round-${year}`, new Set(farm.rounds.map((one) => one.id))),
          season: year,
          from: from === null ? `${year}-01-01` : dayText(from),
          to: to === null ? `${year}-12-31` : dayText(to),
          files: [fileId],
          typed: [],
          patches: [],
          ratings: [],
        },
      ];
  const thresholds = { ...farm.thresholdPerM2 };
  for (const one of species) thresholds[one] ??= DEFAULT_THRESHOLD_PER_M2;
  return {
    summary,
    sets: [
      { path: ['rounds'], value: rounds },
      { path: ['thresholdPerM2'], value: thresholds },
    ],
  };
}

function takeLog(context: Context, log: HarvestLogRecords): Taken {
  const { farm, incoming, fileId, problems } = context;
  const shares = farm.fields
    .map((field) => ({ field, share: shareInside(log, field.boundary as MultiPolygon) }))
    .sort((a, b) => b.share - a.share);
  const best = shares[0];
  if (!best || best.share < LOG_IN_FIELD_FRACTION) {
    problems.push(
      problem('error', 'log-of-another-field', logElsewhere(incoming.name, log.bounds, best), {
        where: { file: incoming.name },
        hint:
          farm.fields.length === 0
            ? 'Add the boundaries first.'
            : 'Add the boundary of its field, or check the coordinates.',
      }),
    );
    return null;
  }
  const first = firstTime(log);
  const offsetS = farm.utcOffsetMinutes * 60;
  const day = dayText(Math.floor((first + offsetS) / 86400));
  const year = dateOf(Math.floor((first + offsetS) / 86400)).year;
  const combine = farm.machines.find((one) => one.kind === 'combine');
  const machines = combine ? farm.machines : [...farm.machines, { id: 'combine', kind: 'combine' as const }];
  const sets = setSeasons(context, [year], (season) => {
    // A harvest that was known by its date alone now has its log.
    const dated = season.visits.find((one) => one.field === best.field.id && one.file === undefined);
    const visit = {
      ...(dated ?? newVisit(season, best.field.id, combine?.id ?? 'combine')),
      file: fileId,
      startedOn: day,
    };
    const visits = dated ? season.visits.map((one) => (one === dated ? visit : one)) : [...season.visits, visit];
    return { ...season, visits };
  });
  if (!combine) sets.push({ path: ['machines'], value: machines });
  return { summary: `the harvest of ${best.field.name} (${log.count} records)`, sets };
}

function takeCrops(context: Context): Taken {
  const { farm, incoming, problems } = context;
  const { records } = incoming.read;
  if (records.kind !== 'crops') return null;
  const rows = records.crops.flatMap((row) => {
    const field = fieldByName(farm, row.fieldName);
    if (!field) problems.push(unknownField(incoming.name, row.fieldName, row.row));
    return field ? [{ row, field }] : [];
  });
  if (rows.length === 0) return nothingPlaced(context);
  const chosen = oneCropAField(rows, incoming.name, problems);
  const years = [...new Set(chosen.map(({ row }) => row.year))].sort();
  const combine = farm.machines.find((one) => one.kind === 'combine')?.id;
  const sets = setSeasons(context, years, (season) => {
    const mine = chosen.filter(({ row }) => row.year === season.year);
    const replaced = season.crops.filter((one) => mine.some(({ field }) => field.id === one.field));
    if (replaced.length > 0) {
      const names = replaced.map((one) => farm.fields.find((field) => field.id === one.field)!.name).join(', ');
      problems.push(
        problem('warning', 'crop-replaced', `The crop of ${season.year} was known and is replaced on ${names}.`, {
          where: { file: incoming.name },
        }),
      );
    }
    return {
      ...season,
      crops: [
        ...season.crops.filter((one) => !replaced.includes(one)),
        ...mine.map(({ row, field }) => ({
          field: field.id,
          crop: row.crop,
          tolerates: row.tolerates === null ? ('not stated' as const) : [...row.tolerates],
          plantedOn: row.plantedOn,
          ...(row.emergedOn === null ? {} : { emergedOn: row.emergedOn }),
          ...(row.matureOn === null ? {} : { matureOn: row.matureOn }),
          rowSpacingM: row.rowSpacingM,
          tillage: 'not stated' as const,
          expectedYieldKgHa: row.expectedYieldKgHa,
        })),
      ],
      visits: mine.reduce<Season['visits']>(
        (visits, { row, field }) =>
          row.harvestedOn === null || visits.some((one) => one.field === field.id)
            ? visits
            : [
                ...visits,
                { ...newVisit({ ...season, visits }, field.id, combine ?? 'combine'), startedOn: row.harvestedOn },
              ],
        season.visits,
      ),
    };
  });
  const harvested = chosen.some(({ row }) => row.harvestedOn !== null);
  if (harvested && combine === undefined)
    sets.push({ path: ['machines'], value: [...farm.machines, { id: 'combine', kind: 'combine' as const }] });
  return { summary: `${count(chosen.length, 'crop')} of ${years.join(', ')}`, sets };
}

type CropRow = { readonly row: CropRecords['crops'][number]; readonly field: Farm['fields'][number] };

/** One crop a field and season: the last planted, which stands when the weeds set seed. The others are told. */
function oneCropAField(rows: readonly CropRow[], file: string, problems: Problem[]): CropRow[] {
  const byPlace = new Map<string, CropRow>();
  for (const one of rows) {
    const place = `${one.field.id} ${one.row.year}`;
    const other = byPlace.get(place);
    const later = !other || (one.row.plantedOn ?? '') >= (other.row.plantedOn ?? '');
    if (later) byPlace.set(place, one);
    if (!other) continue;
    const [kept, left] = later ? [one, other] : [other, one];
    problems.push(
      problem(
        'warning',
        'crop-twice',
        `Row ${left.row.row}: ${one.field.name} has two crops in ${one.row.year}; ${kept.row.crop} of row ${kept.row.row} is used, ${left.row.crop} is not.`,
        { where: { file, row: left.row.row } },
      ),
    );
  }
  return [...byPlace.values()];
}

function takeSprayings(context: Context): Taken {
  const { farm, incoming, problems } = context;
  const { records } = incoming.read;
  if (records.kind !== 'sprayings') return null;
  const rows = records.sprayings.flatMap((row) => {
    const field = fieldByName(farm, row.fieldName);
    if (!field) problems.push(unknownField(incoming.name, row.fieldName, row.row));
    return field ? [{ row, field }] : [];
  });
  if (rows.length === 0) return nothingPlaced(context);
  const years = [...new Set(rows.map(({ row }) => dateOf(dayNumber(row.on)!).year))].sort();
  const sets = setSeasons(context, years, (season) => {
    const byPass = new Map<string, Season['sprayed'][number]>();
    for (const { row, field } of rows) {
      if (!row.on.startsWith(`${season.year}-`)) continue;
      const pass = byPass.get(`${field.id} ${row.on}`) ?? { where: { field: field.id }, on: row.on, parts: [] };
      pass.parts.push({ ingredient: row.ingredient, rateFraction: row.rateFraction });
      byPass.set(`${field.id} ${row.on}`, pass);
    }
    return { ...season, sprayed: [...season.sprayed, ...byPass.values()] };
  });
  return { summary: `${count(rows.length, 'spraying')} of ${years.join(', ')}`, sets };
}

/** The seasons with the given years changed, made where they were missing. */
function setSeasons(
  { farm }: Context,
  years: readonly number[],
  change: (season: Season) => Season,
): { path: readonly (string | number)[]; value: unknown }[] {
  const empty = (year: number): Season => ({
    year,
    weather: [],
    prices: {},
    crops: [],
    visits: [],
    sprayed: [],
    sightings: [],
  });
  const missing = years.filter((year) => !farm.seasons.some((one) => one.year === year)).map(empty);
  const seasons = [...farm.seasons, ...missing]
    .map((season) => (years.includes(season.year) ? change(season) : season))
    .sort((a, b) => a.year - b.year);
  return [{ path: ['seasons'], value: seasons }];
}

/** Share of the log's positions inside a boundary, from at most 2000 of them evenly taken. */
function shareInside(log: HarvestLogRecords, boundary: MultiPolygon): number {
  const frame = createFrame(frameOriginOf(boundsOf(boundary)));
  const within = indexPolygon(toLocalPolygon(frame, boundary));
  const step = Math.max(1, Math.floor(log.count / 2000));
  let [inside, seen] = [0, 0];
  for (let i = 0; i < log.count; i += step) {
    const [lon, lat] = [log.lon[i]!, log.lat[i]!];
    if (!Number.isFinite(lon) || !Number.isFinite(lat)) continue;
    seen++;
    if (!near([lon, lat], frame)) continue;
    const [x, y] = frame.toLocal(lon, lat);
    if (within.contains(x, y)) inside++;
  }
  return seen === 0 ? 0 : inside / seen;
}

function logElsewhere(
  name: string,
  bounds: Bounds,
  best: { field: { name: string; frameOrigin: readonly number[] }; share: number } | undefined,
): string {
  if (!best) return `${name} is a harvest log, but the farm has no fields yet.`;
  const centre: LonLat = [(bounds[0] + bounds[2]) / 2, (bounds[1] + bounds[3]) / 2];
  const distanceKm = geodesicDistanceM(centre, best.field.frameOrigin as unknown as LonLat) / 1000;
  return (
    `${name} is the log of another field: at most ${Math.round(best.share * 100)} % of its records lie in one of this farm's ` +
    `fields (${best.field.name}, ${distanceKm.toFixed(1)} km from the log's middle).`
  );
}

function firstTime(log: HarvestLogRecords): number {
  let first = Infinity;
  for (let i = 0; i < log.count; i++) if (log.timeS[i]! < first) first = log.timeS[i]!;
  return first;
}

function newVisit(season: Season, field: string, machine: string): Season['visits'][number] {
  return { id: freeId(`harvest-${season.year}-${field}`, new Set(season.visits.map((one) => one.id))), field, machine };
}

type Inside = (within: ReturnType<typeof toLocalPolygon>, frame: Frame) => boolean;

/** Whether any of a file's places lies on one of the farm's fields; before the boundaries are in, anything may. */
function liesOnFarm({ farm, incoming, problems }: Context, inside: Inside): boolean {
  const where = { file: incoming.name };
  if (farm.fields.length === 0) {
    problems.push(
      problem('note', 'no-fields-yet', `${incoming.name} is kept, but the farm has no fields yet to place it in.`, {
        where,
        hint: 'Add the boundaries.',
      }),
    );
    return true;
  }
  const found = farm.fields.some((field) => {
    const frame = createFrame(frameOriginOf(boundsOf(field.boundary as MultiPolygon)));
    return inside(toLocalPolygon(frame, field.boundary as MultiPolygon), frame);
  });
  if (!found) {
    problems.push(
      problem('error', 'outside-all-fields', `Nothing in ${incoming.name} lies in one of the farm's fields.`, {
        where,
        hint: 'Check its coordinates, or add the boundaries of its fields first.',
      }),
    );
  }
  return found;
}

function observationsInside(
  observations: readonly Observation[],
  boundary: ReturnType<typeof toLocalPolygon>,
  frame: Frame,
): boolean {
  const within = indexPolygon(boundary);
  return observations.some(({ at }) => near(at, frame) && within.contains(...frame.toLocal(at[0], at[1])));
}

function patchesInside(
  features: readonly BoundaryFeature[],
  boundary: ReturnType<typeof toLocalPolygon>,
  frame: Frame,
): boolean {
  return features.some(
    ({ polygon }) =>
      near(polygon[0]![0]![0]!, frame) && polygonAreaM2(intersect(boundary, toLocalPolygon(frame, polygon))) > 0,
  );
}

/** A local frame serves some tens of kilometres; nothing of a field lies a degree away. */
function near(at: LonLat, { origin }: Frame): boolean {
  return Math.abs(at[0] - origin[0]) <= 1 && Math.abs(at[1] - origin[1]) <= 1;
}

/** None of a table's rows names a field of the farm: each was told. */
function nothingPlaced({ farm, incoming, problems }: Context): null {
  if (farm.fields.length > 0) return null;
  problems.length = 0;
  problems.push(
    problem('error', 'no-fields-yet', `${incoming.name} names fields, but the farm has none yet.`, {
      where: { file: incoming.name },
      hint: 'Add the boundaries first.',
    }),
  );
  return null;
}

function unknownField(file: string, name: string, row: number): Problem {
  return problem('error', 'field-unknown', `Row ${row}: the farm has no field (or more than one) named "${name}".`, {
    where: { file, row },
    hint: 'Add its boundary first, or write the name as the boundary has it.',
  });
}

function boundsOf(polygon: MultiPolygon): Bounds {
  const corners = polygon.flat(2);
  return polygonBounds([[Float64Array.from(corners.flat())]]);
}

function slug(name: string): string {
  const plain = name
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-+|-+$/g, '');
  return plain.slice(0, 40) || 'field';
}

function freeId(wanted: string, taken: ReadonlySet<string>): string {
  if (!taken.has(wanted)) return wanted;
  for (let n = 2; ; n++) if (!taken.has(`${wanted}-${n}`)) return `${wanted}-${n}`;
}

const earlier = (a: string, b: string) => (a < b ? a : b);
const later = (a: string, b: string) => (a > b ? a : b);
const count = (n: number, one: string, many = `${one}s`) => `${n} ${n === 1 ? one : many}`;
