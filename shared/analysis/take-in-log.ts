/**
 * A harvest log becomes visits: one on its field, or one on each field that it lies on, each with its part of the records. What
 * lies outside every field is counted, and stays in the file.
 */
import { geodesicAreaM2, geodesicDistanceM } from '../geometry/geodesic.ts';
import type { Bounds, LonLat, MultiPolygon } from '../geometry/types.ts';
import { fieldsOfRecords, NEAR_M, NO_FIELD, partsOfLog, TURN_S } from '../harvest/log-parts.ts';
import { bareCrop } from '../model/edits/crops.ts';
import type { Farm, Season } from '../model/farm.ts';
import { type Problem, problem } from '../model/problem.ts';
import type { HarvestLogRecords } from '../model/records.ts';
import { dateOf, dayText } from '../units/calendar.ts';
import { type Display, formatDistance, formatNumber } from '../units/format.ts';
import { listed } from '../units/words.ts';
import { newVisit, setSeasons } from './take-in-season.ts';
import { type Context, type Taken } from './taking.ts';

/** Share of a log's records that must lie in a field for it to be that field's log. */
const LOG_IN_FIELD_FRACTION = 0.5;
/** A field is one of several that a log is of where it holds this share of the records, or so much of it was driven over. *Assumed*. */
const PART_FRACTION = 0.05;
const CUT_FRACTION = 0.2;
/** For the ground driven over, where the log has no width; m. Common practice, no source. */
const USUAL_WIDTH_M = 9;
const FEWEST_RECORDS = 20;

interface OnField {
  readonly field: Farm['fields'][number];
  readonly records: number;
  readonly share: number;
  /** Unix seconds of its first record there. */
  readonly firstS: number;
}

export function takeLog(context: Context, log: HarvestLogRecords): Taken {
  const { farm, incoming, problems } = context;
  const found = fieldsOfLog(farm, log);
  const best = found[0];
  const isWhole = best !== undefined && best.share >= LOG_IN_FIELD_FRACTION;
  const several = found.filter((one) => isPartOf(one, log));
  const parts = several.length > 1 || !isWhole ? several : [];
  const of = parts.length > 0 ? parts : isWhole ? [best] : [];
  if (of.length === 0) {
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
  const visits = of.map((one) => ({ ...one, ...dayAndYear(context, one.firstS) }));
  const undated = visits.some((one) => one.year === null);
  if (undated) {
    problems.push(
      problem('error', 'season-missing', `${incoming.name} has no date: its season cannot be told.`, {
        where: { file: incoming.name },
        hint: 'Say the season (--season 2026).',
      }),
    );
    return null;
  }
  const isPart = parts.length > 0;
  const dated = visits as Dated[];
  tellTouched(
    context,
    found.filter((one) => !of.includes(one)),
  );
  return visitsOf(context, log, isPart ? withParts(context, log, dated) : dated, isPart);
}

interface Dated extends OnField {
  readonly day: string | null;
  readonly year: number;
}

/** Seconds from a start that the file does not give are read as times of 1970. */
function dayAndYear({ farm, incoming }: Context, firstS: number): { day: string | null; year: number | null } {
  const day = Math.floor((firstS + farm.utcOffsetMinutes * 60) / 86400);
  const { year } = dateOf(day);
  const isDated = year > 1970;
  return { day: isDated ? dayText(day) : null, year: incoming.wishes.season ?? (isDated ? year : null) };
}

function visitsOf(context: Context, log: HarvestLogRecords, on: readonly Dated[], isPart: boolean): Taken {
  const { farm, incoming, fileId, problems } = context;
  const combine = farm.machines.find((one) => one.kind === 'combine');
  const isHere = (visit: Season['visits'][number]) => visit.file === fileId;
  const known = farm.seasons.flatMap((one) => one.visits.filter(isHere).map((visit) => visit.field));
  const fresh = on.filter((one) => !known.includes(one.field.id)).sort((a, b) => a.firstS - b.firstS);
  if (fresh.length === 0) return null;
  const years = [...new Set(fresh.map((one) => one.year))].sort((a, b) => a - b);
  const sets = setSeasons(context, years, (season) => {
    let { visits, crops } = season;
    // A log that was taken for one field alone is of several now.
    if (isPart) visits = visits.map((one) => (isHere(one) ? { ...one, part: true as const } : one));
    for (const { field, day } of fresh.filter((one) => one.year === season.year)) {
      // A harvest that was known by its date alone now has its log.
      const dated = visits.find((one) => one.field === field.id && one.file === undefined);
      const visit = {
        ...(dated ?? newVisit({ ...season, visits }, field.id, combine?.id ?? 'combine')),
        file: fileId,
        ...(isPart ? { part: true as const } : {}),
        ...(day === null ? {} : { startedOn: day }),
      };
      visits = dated ? visits.map((one) => (one === dated ? visit : one)) : [...visits, visit];
      crops = withCropOfLog({ ...season, crops }, field, log.crop, incoming.name, problems);
    }
    return { ...season, visits, crops };
  });
  if (!combine)
    sets.push({ path: ['machines'], value: [...farm.machines, { id: 'combine', kind: 'combine' as const }] });
  const records = fresh.reduce((sum, one) => sum + one.records, 0);
  const told = isPart ? records : log.count;
  return {
    summary: `the harvest of ${fieldsTold(fresh.map((one) => one.field.name))} (${formatNumber(told, 0)} records)`,
    sets,
  };
}

function fieldsTold(names: readonly string[]): string {
  return names.length > 4 ? `${names.length} fields` : listed(names);
}

/** Fields with records of the log, most first. */
function fieldsOfLog(farm: Farm, log: HarvestLogRecords): OnField[] {
  const of = fieldsOfRecords(
    log,
    farm.fields.map((one) => one.boundary as MultiPolygon),
  );
  const records = farm.fields.map(() => 0);
  const firstS = farm.fields.map(() => Infinity);
  let placed = 0;
  for (let i = 0; i < log.count; i++) {
    if (Number.isFinite(log.lon[i]!) && Number.isFinite(log.lat[i]!)) placed++;
    const n = of[i]!;
    if (n === NO_FIELD) continue;
    records[n]!++;
    if (log.timeS[i]! < firstS[n]!) firstS[n] = log.timeS[i]!;
  }
  return farm.fields
    .map((field, n) => ({
      field,
      records: records[n]!,
      share: placed === 0 ? 0 : records[n]! / placed,
      firstS: firstS[n]!,
    }))
    .sort((a, b) => b.share - a.share);
}

/** A few records across a line do not make a harvest; a small field in a long log does. */
function isPartOf({ field, records, share }: OnField, log: HarvestLogRecords): boolean {
  if (records < FEWEST_RECORDS) return false;
  if (share >= PART_FRACTION) return true;
  const cutM2 = records * usualStepM(log) * usualWidthM(log);
  return cutM2 >= CUT_FRACTION * geodesicAreaM2(field.boundary as MultiPolygon);
}

/** Fields with too few records for a harvest of theirs: said, since what was cut there is in no field's harvest. */
function tellTouched({ incoming, problems }: Context, touched: readonly OnField[]): void {
  const some = touched.filter((one) => one.records > 0);
  if (some.length === 0) return;
  const list = some.slice(0, MOST_NAMED).map(({ field, records }) => `${field.name} (${formatNumber(records, 0)})`);
  const more = some.length > MOST_NAMED ? ` and ${some.length - MOST_NAMED} more fields` : '';
  problems.push(
    problem(
      'note',
      'field-touched',
      `${incoming.name} also has records on ${list.join(', ')}${more}: too few for a harvest there (assumed: under ${FEWEST_RECORDS} records, or under ${100 * PART_FRACTION}% of the log and over less than ${100 * CUT_FRACTION}% of the field).`,
      {
        where: { file: incoming.name },
        hint: 'If a field was cut on that way all the same, bring its records in as a file of their own.',
      },
    ),
  );
}

const MOST_NAMED = 4;
const SAMPLE = 2000;

function usualStepM({ count, lon, lat }: HarvestLogRecords): number {
  const steps: number[] = [];
  const every = Math.max(1, Math.floor(count / SAMPLE));
  for (let i = 0; i + 1 < count; i += every) {
    const north = (lat[i + 1]! - lat[i]!) * 111_195;
    const east = (lon[i + 1]! - lon[i]!) * 111_195 * Math.cos((lat[i]! * Math.PI) / 180);
    steps.push(Math.hypot(north, east));
  }
  return middle(steps);
}

function usualWidthM({ swathM }: HarvestLogRecords): number {
  const every = Math.max(1, Math.floor(swathM.length / SAMPLE));
  const width = middle(Array.from(swathM).filter((one, i) => i % every === 0 && one > 0));
  return width > 0 ? width : USUAL_WIDTH_M;
}

function middle(values: number[]): number {
  return values.sort((a, b) => a - b)[values.length >> 1] ?? 0;
}

/** The fields with the records of their parts; what lies outside all of them is told. */
function withParts({ incoming, problems }: Context, log: HarvestLogRecords, on: readonly Dated[]): Dated[] {
  const of = partsOfLog(
    log,
    on.map((one) => one.field.boundary as MultiPolygon),
  );
  const records = on.map(() => 0);
  const within = fieldsOfRecords(
    log,
    on.map((one) => one.field.boundary as MultiPolygon),
  );
  let [outside, working, first, beside] = [0, 0, -1, 0];
  for (let i = 0; i < log.count; i++) {
    if (of[i] !== NO_FIELD) {
      records[of[i]!]!++;
      if (within[i] === NO_FIELD) beside++;
      continue;
    }
    outside++;
    if (log.headerDown[i] === 1) working++;
    if (first < 0) first = i;
  }
  if (beside > 0) {
    problems.push(
      problem(
        'note',
        'records-beside-fields',
        `${formatNumber(beside, 0)} records of ${incoming.name} lie just outside a field and go with it (assumed: up to ${NEAR_M} m from its edge, or on a turn of up to ${TURN_S / 60} min out of it and back).`,
        { where: { file: incoming.name } },
      ),
    );
  }
  if (outside > 0) {
    const row = log.row[first]!;
    const down = working === 0 ? 'all with the header up' : `${formatNumber(working, 0)} of them with the header down`;
    problems.push(
      problem(
        working > 0.02 * log.count ? 'warning' : 'note',
        'records-outside-fields',
        `${formatNumber(outside, 0)} of ${formatNumber(log.count, 0)} records of ${incoming.name} lie outside the fields that the log is of (the first in row ${row}), ${down}: they stay in the file and in no field's harvest.`,
        {
          where: { file: incoming.name, row },
          hint: 'If a field is missing, add its boundary, then bring the log in again: only what is new is added.',
        },
      ),
    );
  }
  return on.map((one, n) => ({ ...one, records: records[n]! }));
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
