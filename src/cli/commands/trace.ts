import {
  followSeed,
  type SeedTrace,
  type SeedTraceAsk,
  type ToldTrace,
  traceBase,
  type TracedGround,
} from '../../../shared/analysis/seed-trace.ts';
import { traceRows } from '../../../shared/analysis/trace-rows.ts';
import { fieldPatches } from '../../../shared/analysis/field-patches.ts';
import {
  partWords,
  shareText,
  tellingDistances,
  tellingFalls,
  traceFinding,
  traceNotes,
} from '../../../shared/analysis/trace-words.ts';
import type { ResultOf } from '../../../shared/analysis/step.ts';
import { csvText } from '../../../shared/export/csv.ts';
import type { LonLat, MultiPolygon } from '../../../shared/geometry/types.ts';
import { traceTable } from '../../../shared/hand-over/trace-table.ts';
import type { Farm, Field } from '../../../shared/model/farm.ts';
import { fieldByName, fieldOf, studySeason } from '../../../shared/model/lookups.ts';
import { formatQuantity } from '../../../shared/units/format.ts';
import { isUnit, quantityOf, toSI } from '../../../shared/units/units.ts';
import { capital } from '../../../shared/units/words.ts';
import type { Command } from '../command.ts';
import { drive, percent } from '../drive.ts';
import type { Host } from '../host.ts';
import { openOrTell, resultsOf } from '../opened.ts';
import { paragraph, printJson, table } from '../print.ts';

const USUAL_RADIUS_M = 15;
const FARTHEST_M = 500;

export const traceCommand: Command = {
  name: 'trace',
  words: 'FARM FIELD',
  summary: 'where the seed of a place went at harvest, or where the seed that lies on it came from',
  more: 'GROUND is LON,LAT with a radius around it, patch:N (the nth drawn patch of the field, the first is 1) or zone:A (a zone of the field by its letter). --from follows the seed that stood on it to where it landed; --to goes back from the seed that lies on it to where it grew, and to what the machine brought from other fields. All weeds together, whole cells, three cases. Exact: the movement is linear.',
  examples: [
    'trace my-farm west --to -93.4996,42.0004 --radius 20',
    'trace my-farm west --from patch:1 --json',
    'trace my-farm west --from zone:A --out trace.csv',
  ],
  options: [
    { name: 'from', value: 'GROUND', help: 'where the seed that stood here went' },
    { name: 'to', value: 'GROUND', help: 'where the seed that lies here came from' },
    { name: 'radius', value: 'M', help: `around the place: 20, 60ft; ${USUAL_RADIUS_M} m if not given` },
    { name: 'season', value: 'YEAR', help: 'else the last one with records' },
    { name: 'out', value: 'PATH', help: 'file to write: .csv, a row for each part of the seed and each distance' },
  ],
  takes: [2, 2],
  run({ words, options, host, json }) {
    const store = openOrTell(host, words[0]!);
    if (!store) return 2;
    const { farm } = store;
    const { result, keep } = resultsOf(host, store);
    const ask = askOf(farm, words[1]!, (name) => options[name]?.[0], result);
    const out = options['out']?.[0];
    const wrong = out === undefined || /\.csv$/i.test(out) ? null : 'The file to write ends in .csv.';
    if (typeof ask === 'string' || wrong !== null) {
      host.err(`${wrong ?? (ask as string)}\n`);
      return 2;
    }
    const base = traceBase(farm, ask, result);
    if (!base) {
      host.err(paragraph(notThere(farm, ask)));
      return 2;
    }
    const trace = drive(host, followSeed(base), ([done, total]) => `Following the seed ${percent(done, total)}`);
    keep();
    if (out !== undefined) host.write(out, new TextEncoder().encode(csvText(tableOf(trace, farm, options))));
    if (json) printJson(host, withoutMap(trace));
    else print(host, trace, farm);
    return (trace.seeds.high ?? 0) > 0 ? 0 : 1;
  },
};

function askOf(
  farm: Farm,
  name: string,
  given: (name: string) => string | undefined,
  result: ResultOf,
): SeedTraceAsk | string {
  const field = fieldByName(farm, name);
  if (!field?.ours)
    return `The farm has no field "${name}"; its fields are ${farm.fields
      .filter((one) => one.ours)
      .map((one) => one.id)
      .join(', ')}.`;
  const typed = given('season');
  const season = typed === undefined ? studySeason(farm) : Number(typed);
  if (season === null) return 'No weed and no harvest is on record yet: there is no seed to follow.';
  if (!Number.isInteger(season)) return `--season is a year, not "${typed}".`;
  const [from, to] = [given('from'), given('to')];
  if ((from === undefined) === (to === undefined)) return 'Say one of --from GROUND and --to GROUND.';
  const radiusM = lengthM(given('radius') ?? String(USUAL_RADIUS_M));
  if (radiusM === null || !(radiusM <= FARTHEST_M))
    return `--radius is a length above 0 and up to ${FARTHEST_M} m, as 20 or 60ft, not "${given('radius')}".`;
  const ground = groundOf(farm, field, season, (from ?? to)!, radiusM, result);
  if (typeof ground === 'string') return ground;
  return { field: field.id, season, way: from === undefined ? 'to' : 'from', ground };
}

function groundOf(
  farm: Farm,
  field: Field,
  season: number,
  text: string,
  radiusM: number,
  result: ResultOf,
): TracedGround | string {
  const [kind, which = ''] = text.split(':') as [string, string?];
  if (kind === 'patch') {
    const patches = fieldPatches(farm, { field: field.id, season }, result);
    const patch = patches[Number(which) - 1];
    return patch
      ? { area: patch.area }
      : `${field.name} has ${patches.length} drawn patches in ${season}; there is no patch ${which}.`;
  }
  if (kind === 'zone') {
    const zones = farm.zoneSets.filter((one) => one.field === field.id).flatMap((one) => one.zones);
    const zone = zones.filter((one) => one.letter === which || one.id === which).at(-1);
    return zone
      ? { area: zone.area as MultiPolygon }
      : `${field.name} has no zone "${which}"${zones.length === 0 ? '; none is accepted there yet' : `; it has ${zones.map((one) => one.letter).join(', ')}`}.`;
  }
  const [lon, lat, ...more] = text.split(',').map(Number);
  const isPlace = more.length === 0 && Number.isFinite(lon) && Number.isFinite(lat);
  return isPlace ? { at: [lon!, lat!], radiusM } : `A ground is LON,LAT in degrees, patch:N or zone:A, not "${text}".`;
}

/** "60ft" in metres; without a unit it is metres already. */
function lengthM(text: string): number | null {
  const match = /^([0-9.]+)\s*([a-z]*)$/i.exec(text);
  const value = Number(match?.[1]);
  if (!match || !(value > 0)) return null;
  const unit = match[2] === '' ? 'm' : match[2]!;
  return isUnit(unit) && quantityOf(unit) === 'length' ? toSI(value, unit) : null;
}

function notThere(farm: Farm, { field, ground }: SeedTraceAsk): string {
  const { name, boundary } = fieldOf(farm, field);
  if ('area' in ground) return `That ground does not touch ${name}.`;
  const [lon, lat] = ground.at;
  const corners = boundary.flat(2) as LonLat[];
  const within = (axis: 0 | 1, value: number) =>
    value >= Math.min(...corners.map((one) => one[axis])) && value <= Math.max(...corners.map((one) => one[axis]));
  const swapped = within(0, lat) && within(1, lon);
  return `The place ${lon}, ${lat} does not lie on ${name}.${swapped ? ' The other way round it does: the longitude comes first.' : ''}`;
}

function tableOf(trace: SeedTrace, farm: Farm, options: Readonly<Record<string, readonly string[] | undefined>>) {
  const { name, season, way, ground } = trace;
  const given = (options['from'] ?? options['to'])![0]!;
  const around = 'area' in ground ? '' : `within ${formatQuantity(ground.radiusM, 'length', farm.display, 0)} of `;
  const head = {
    fieldName: name,
    season,
    ground: `${around}${given}`,
    asked: way === 'to' ? 'where its seed came from' : 'where its seed went',
    notes: traceNotes(trace, farm),
  };
  return traceTable(traceRows(trace, farm), head, farm.display);
}

/** The cells are for a map. */
function withoutMap({ map: _map, ...told }: SeedTrace): ToldTrace {
  return told;
}

function print(host: Host, trace: SeedTrace, farm: Farm): void {
  host.out(paragraph(`${traceFinding(trace, farm)}.`));
  const rows = trace.parts.map((part) => [capital(partWords(trace, part, farm)), shareText(part.share)]);
  const { falls, more } = tellingFalls(trace);
  const onto = falls.map(({ field, share }) => [`of that came down on ${fieldOf(farm, field).name}`, shareText(share)]);
  if (more > 0) onto.push([`less on ${more} more field${more === 1 ? '' : 's'}`, '']);
  if (rows.length > 0) host.out(table([{ title: 'Seed that' }, { title: 'share', right: true }], [...rows, ...onto]));
  const verb = trace.way === 'to' ? 'grew' : 'came down';
  for (const { distanceM, share } of tellingDistances(trace))
    host.out(
      `  ${shareText(share).padStart(18)} ${verb} within ${formatQuantity(distanceM, 'length', farm.display, 0)}\n`,
    );
  for (const note of traceNotes(trace, farm)) host.out(paragraph(note));
}
