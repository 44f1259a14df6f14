/** Crops, sprayings, weather and harvest logs: what happened on the fields, put into its season. */
import { geodesicDistanceM } from '../geometry/geodesic.ts';
import { createFrame, frameOriginOf } from '../geometry/local-frame.ts';
import { toLocalPolygon } from '../geometry/polygon.ts';
import { indexPolygon } from '../geometry/polygon-index.ts';
import type { Bounds, LonLat, MultiPolygon } from '../geometry/types.ts';
import { bareCrop } from '../model/edits/crops.ts';
import { changeSeasons } from '../model/edits/seasons.ts';
import type { Farm, Season } from '../model/farm.ts';
import { freeId } from '../model/free-id.ts';
import { fieldByName } from '../model/lookups.ts';
import { type Problem, problem } from '../model/problem.ts';
import type { CropRecords, HarvestLogRecords, SprayingRecords, WeatherRecords } from '../model/records.ts';
import { dateOf, dayNumber, dayText } from '../units/calendar.ts';
import { type Display, formatDistance, formatNumber } from '../units/format.ts';
import { boundsOf, type Context, count, near, nothingPlaced, type Taken, unknownField } from './taking.ts';

/** Share of a log's records that must lie in a field for it to be that field's log. */
const LOG_IN_FIELD_FRACTION = 0.5;

export function takeWeather(context: Context, { day }: WeatherRecords): Taken {
  const years = [...new Set([...day].map((number) => dateOf(number).year))];
  return {
    summary: `daily weather of ${years.join(', ')}`,
    sets: setSeasons(context, years, (season) => ({ ...season, weather: [...season.weather, context.fileId] })),
  };
}

export function takeLog(context: Context, log: HarvestLogRecords): Taken {
  const { farm, incoming, fileId, problems } = context;
  const shares = farm.fields
    .map((field) => ({ field, share: shareInside(log, field.boundary as MultiPolygon) }))
    .sort((a, b) => b.share - a.share);
  const best = shares[0];
  if (!best || best.share < LOG_IN_FIELD_FRACTION) {
    problems.push(
      problem('error', 'log-of-another-field', logElsewhere(incoming.name, log.bounds, best, farm.display), {
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
  const dayOfLog = Math.floor((first + farm.utcOffsetMinutes * 60) / 86400);
  // Seconds from a start that the file does not give are read as times of 1970.
  const isDated = dateOf(dayOfLog).year > 1970;
  const year = incoming.wishes.season ?? (isDated ? dateOf(dayOfLog).year : null);
  if (year === null) {
    problems.push(
      problem('error', 'season-missing', `${incoming.name} has no date: its season cannot be told.`, {
        where: { file: incoming.name },
        hint: 'Say the season (--season 2026).',
      }),
    );
    return null;
  }
  const combine = farm.machines.find((one) => one.kind === 'combine');
  const machines = combine ? farm.machines : [...farm.machines, { id: 'combine', kind: 'combine' as const }];
  const sets = setSeasons(context, [year], (season) => {
    // A harvest that was known by its date alone now has its log.
    const dated = season.visits.find((one) => one.field === best.field.id && one.file === undefined);
    const visit = {
      ...(dated ?? newVisit(season, best.field.id, combine?.id ?? 'combine')),
      file: fileId,
      ...(isDated ? { startedOn: dayText(dayOfLog) } : {}),
    };
    const visits = dated ? season.visits.map((one) => (one === dated ? visit : one)) : [...season.visits, visit];
    return { ...season, visits, crops: withCropOfLog(season, best.field, log.crop, incoming.name, problems) };
  });
  if (!combine) sets.push({ path: ['machines'], value: machines });
  return { summary: `the harvest of ${best.field.name} (${formatNumber(log.count, 0)} records)`, sets };
}

/** The crop that the log names, where the season knows none of the field; what it tolerates stays not stated. */
function withCropOfLog(
  season: Season,
  field: { readonly id: string; readonly name: string },
  crop: string | null,
  file: string,
  problems: Problem[],
): Season['crops'] {
  const known = season.crops.find((one) => one.field === field.id);
  if (crop === null || known?.crop === crop) return season.crops;
  if (known) {
    problems.push(
      problem(
        'warning',
        'crop-differs',
        `The log of ${field.name} names ${crop}, the crop plan of ${season.year} ${known.crop}.`,
        {
          where: { file },
          hint: 'The crop plan is kept: correct it if it is wrong.',
        },
      ),
    );
    return season.crops;
  }
  problems.push(
    problem('note', 'crop-from-log', `The crop of ${field.name} in ${season.year} is ${crop}, as its log says.`, {
      where: { file },
    }),
  );
  return [...season.crops, bareCrop(field.id, crop)];
}

export function takeCrops(context: Context, { crops }: CropRecords): Taken {
  const { farm, incoming, problems } = context;
  const rows = crops.flatMap((row) => {
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

export function takeSprayings(context: Context, { sprayings }: SprayingRecords): Taken {
  const { farm, incoming, problems } = context;
  const rows = sprayings.flatMap((row) => {
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
  return [{ path: ['seasons'], value: changeSeasons(farm, years, change) }];
}

function newVisit(season: Season, field: string, machine: string): Season['visits'][number] {
  return { id: freeId(`harvest-${season.year}-${field}`, new Set(season.visits.map((one) => one.id))), field, machine };
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
  display: Display,
): string {
  if (!best) return `${name} is a harvest log, but the farm has no fields yet.`;
  const centre: LonLat = [(bounds[0] + bounds[2]) / 2, (bounds[1] + bounds[3]) / 2];
  const away = formatDistance(geodesicDistanceM(centre, best.field.frameOrigin as unknown as LonLat), display);
  return (
    `${name} is the log of another field: at most ${Math.round(best.share * 100)}% of its records lie in one of this farm's ` +
    `fields (${best.field.name}, ${away} from the log's middle).`
  );
}

function firstTime(log: HarvestLogRecords): number {
  let first = Infinity;
  for (let i = 0; i < log.count; i++) if (log.timeS[i]! < first) first = log.timeS[i]!;
  return first;
}
