/** Rows of a file as they are written, from any line on: what a problem's row looks like. */
import type { Table } from '../import/csv.ts';
import type { Bundle, ReadingWishes } from '../import/importer.ts';
import { openBundle } from '../import/table.ts';
import type { BoundaryRecords, HarvestLogRecords, Observation, Records, Waypoint } from '../model/records.ts';
import { instantText } from '../units/calendar.ts';

export interface ShownRow {
  /** Line of a table, header included; number of a feature. */
  readonly number: number;
  readonly cells: readonly string[];
}

export interface ShownRows {
  readonly header: readonly string[];
  readonly rows: readonly ShownRow[];
  /** Number of the last row of the file, where it was reached. */
  readonly last: number | null;
}

/** The table of a bundle, or null where it is none. */
export function tableOf(bundle: Bundle, wishes: Pick<ReadingWishes, 'crs'> = {}): Table | null {
  const opened = openBundle(bundle, wishes);
  return opened.ok ? opened.value : null;
}

/** At most `count` rows from `from` on. null of a file that has none to show. */
export function rowsOf(
  bundle: Bundle,
  records: Records | null,
  from: number,
  count: number,
  wishes: Pick<ReadingWishes, 'crs'> = {},
): ShownRows | null {
  if (records?.kind === 'boundaries' || records?.kind === 'drawn patches') return featuresOf(records, from, count);
  if (records?.kind === 'scouting' && records.notes) return findsOf(records.observations, from, count);
  if (records?.kind === 'track') return waypointsOf(records.waypoints, from, count);
  const table = tableOf(bundle, wishes);
  if (table) return tableRows(table, from, count);
  return records?.kind === 'harvest log' ? recordsOf(records, from, count) : null;
}

function tableRows(table: Table, from: number, count: number): ShownRows {
  const rows: ShownRow[] = [];
  let last: number | null = null;
  for (const { cells } of table.blocks()) {
    for (let row = 0; row < cells.rows; row++) {
      last = cells.line(row);
      if (last < from) continue;
      if (rows.length === count) return { header: table.header, rows, last: null };
      const width = Math.max(cells.width(row), table.header.length);
      rows.push({ number: last, cells: Array.from({ length: width }, (_, column) => cells.text(row, column)) });
    }
  }
  return { header: table.header, rows, last };
}

function featuresOf({ features }: BoundaryRecords, from: number, count: number): ShownRows {
  const header = [...new Set(features.flatMap((one) => Object.keys(one.properties)))];
  const rows = features
    .filter((one) => one.feature >= from)
    .slice(0, count)
    .map(({ feature, properties }) => ({
      number: feature,
      cells: header.map((column) => String(properties[column] ?? '')),
    }));
  const last = features.at(-1)?.feature ?? null;
  return { header, rows, last: rows.at(-1)?.number === last ? last : null };
}

const FIND_HEADER = ['latitude', 'longitude', 'within m', 'day', 'species', 'count', 'm² looked at', 'height mm'];

function findsOf(observations: readonly Observation[], from: number, count: number): ShownRows {
  const rows = observations
    .filter((one) => one.row! >= from)
    .slice(0, count)
    .map(({ row, at, accuracyM, on, species, count: plants, effortM2, heightMm }) => ({
      number: row!,
      cells: [at[1].toFixed(6), at[0].toFixed(6), accuracyM, on, species, countText(plants), effortM2, heightMm].map(
        (cell) => String(cell ?? ''),
      ),
    }));
  const last = observations.at(-1)?.row ?? null;
  return { header: FIND_HEADER, rows, last: rows.at(-1)?.number === last ? last : null };
}

const WAYPOINT_HEADER = ['latitude', 'longitude', 'name', 'note', 'a stop sent out'];

function waypointsOf(waypoints: readonly Waypoint[], from: number, count: number): ShownRows | null {
  if (waypoints.length === 0) return null;
  // By their order: a file may stand on one line.
  const rows = waypoints
    .map((one, index) => ({ ...one, number: index + 1 }))
    .filter((one) => one.number >= from)
    .slice(0, count)
    .map(({ number, at, name, note, isStop }) => ({
      number,
      cells: [at[1].toFixed(6), at[0].toFixed(6), name, note, isStop ? 'yes' : ''],
    }));
  return { header: WAYPOINT_HEADER, rows, last: rows.at(-1)?.number === waypoints.length ? waypoints.length : null };
}

const RECORD_HEADER = ['time', 'latitude', 'longitude', 'flow kg/s', 'moisture %', 'width m', 'at work', 'speed m/s'];

/** Of a log that is no table: its records as they were read. */
function recordsOf(log: HarvestLogRecords, from: number, count: number): ShownRows {
  const rows: ShownRow[] = [];
  const plain = (value: number, digits: number) => (Number.isFinite(value) ? value.toFixed(digits) : '');
  for (let i = 0; i < log.count && rows.length < count; i++) {
    if (log.row[i]! < from) continue;
    rows.push({
      number: log.row[i]!,
      cells: [
        instantText(log.timeS[i]!),
        log.lat[i]!.toFixed(7),
        log.lon[i]!.toFixed(7),
        plain(log.flowKgS[i]!, 2),
        plain(100 * log.moistureFraction[i]!, 1),
        plain(log.swathM[i]!, 2),
        log.headerDown[i] === 1 ? 'yes' : 'no',
        plain(log.speedMS[i]!, 2),
      ],
    });
  }
  const last = log.count > 0 ? log.row[log.count - 1]! : null;
  return { header: RECORD_HEADER, rows, last: rows.at(-1)?.number === last ? last : null };
}

function countText(count: Observation['count']): string {
  if (typeof count === 'number') return String(count);
  return 'present' in count ? (count.present ? 'seen' : 'not seen') : `${count.atLeast} or more`;
}
