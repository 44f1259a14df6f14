/** Harvest logs as text tables: one row a record (or a header section), from whichever columns the monitor wrote. */
import { done, problem, ProblemList, refused } from '../model/problem.ts';
import type { Outcome, Problem } from '../model/problem.ts';
import type { HarvestLogRecords } from '../model/records.ts';
import { instantText } from '../units/calendar.ts';
import { boundsOfPlaces } from './bounds-of-places.ts';
import { findColumns, listed, readings } from './columns.ts';
import type { Table } from './csv.ts';
import { harvestLogColumns } from './harvest-log-columns.ts';
import { flowOf, speedOf } from './harvest-log-flow.ts';
import type { RawLog } from './harvest-log-flow.ts';
import { HarvestLogRows } from './harvest-log-rows.ts';
import type { RowRules, ValueId } from './harvest-log-rows.ts';
import { findRules, plainWishes, projectedPositions, settleMass, untwistPositions } from './harvest-log-rules.ts';
import type { Numbers } from './growing.ts';
import { firstRows, groupSections, mergeSections } from './header-sections.ts';
import type { SectionColumns } from './header-sections.ts';
import type { Bundle, Importer, ReadFile, ReadingWishes } from './importer.ts';
import { makeTimes, startsInNames } from './made-times.ts';
import { headTable, kindScore, lacking, openBundle, whyKind } from './table.ts';

const NEEDED = [['lon'], ['lat'], ['time', 'date', 'sequence'], ['flow', 'mass', 'yield', 'yieldVolume', 'moisture']];
/** A log that lost its positions: taken, so that reading can say what is lacking. */
const NO_POSITION = [['time'], ['flow', 'mass', 'yield', 'yieldVolume'], ['moisture', 'swath', 'headerState']];
/** A path with widths may be a harvest log, or a seeder's. */
const PATH_ONLY = [['lon'], ['lat'], ['time'], ['swath']];

export const harvestLogImporter: Importer = {
  id: 'harvest-log-table',
  title: 'Harvest log (CSV)',
  columns: harvestLogColumns,
  recognize(bundle, head) {
    const table = headTable(bundle, head);
    if (!table) return 0;
    const wanted = harvestLogColumns(table);
    const grain = kindScore(table, wanted, NEEDED);
    if (grain >= 0.5) return grain;
    return Math.min(0.5, Math.max(kindScore(table, wanted, PATH_ONLY), kindScore(table, wanted, NO_POSITION)));
  },
  *read(bundle, wishes) {
    return yield* readHarvestLog(bundle, wishes);
  },
};

function* readHarvestLog(
  bundle: Bundle,
  wishes: ReadingWishes,
): Generator<readonly [number, number], Outcome<ReadFile>, void> {
  const opened = openBundle(bundle, wishes);
  if (!opened.ok) return opened;
  const table = opened.value;
  const problems = new ProblemList();
  problems.addAll(table.notes);
  const wanted = harvestLogColumns(table);
  const { found, problems: told } = findColumns(wanted, table, plainWishes(wishes, table.header));
  problems.addAll(told);
  if (!found.lon || !found.lat) {
    const what =
      !found.lon && !found.lat
        ? 'no column gives the position'
        : `no column gives the ${found.lon ? 'latitude' : 'longitude'}`;
    return refused(...problems.list(), lacking(table, 'harvest log', what));
  }
  const doubts: Problem[] = [];
  untwistPositions(table, found, doubts);
  settleMass(table, found, doubts);
  problems.addAll(doubts);
  const projected = projectedPositions(table, found);
  if (projected) return refused(...problems.list(), projected);
  if (table.sample.length === 0) return refused(...problems.list(), noRecords(table, 0));
  const { rules, problems: doubtsOfRules } = findRules(table, found, wishes);
  problems.addAll(doubtsOfRules);
  if (!rules) return refused(...problems.list());

  const rows = new HarvestLogRows(table, rules, problems);
  yield [0, table.size];
  for (const block of table.blocks()) {
    problems.addAll(block.problems);
    rows.block(block.cells);
    yield [Math.min(block.bytesDone, table.size), table.size];
  }
  problems.addAll(rows.closing());
  if (rows.timeS.count === 0) {
    return refused(...problems.list(), noRecords(table, rows.rows));
  }
  const records = finish(table, rules, rows, problems);
  const reading = {
    importer: harvestLogImporter.id,
    takenFor: 'harvest log' as const,
    why: whyKind(table, 'harvest log', wanted, found, wishes),
    crs: table.crs ?? 'WGS 84 (longitude and latitude in degrees)',
    ...(wishes.utcOffsetMinutes === undefined ? {} : { utcOffsetMinutes: wishes.utcOffsetMinutes }),
    columns: readings(found),
    rows: rows.rows,
    unusedRows: rows.unusedRows,
  };
  return done({ reading, records }, problems.list());
}

function noRecords(table: Table, rows: number): Problem {
  const why =
    rows === 0
      ? `${table.name} has a header but no rows.`
      : `None of the ${rows} rows of ${table.name} has a position and a time.`;
  return problem('error', 'no-records', why, { where: { file: table.name } });
}

function cropOf(rows: HarvestLogRows, table: Table, problems: ProblemList): string | null {
  const known = new Set<string>();
  const unknown: string[] = [];
  for (const [text, crop] of rows.crops) {
    if (crop) known.add(crop);
    else unknown.push(text);
  }
  const where = { file: table.name };
  if (unknown.length > 0)
    problems.add(
      problem('note', 'crop-unknown', `The crop ${listed(unknown)} is not known here.`, {
        where,
        hint: 'The crop comes from the season then.',
      }),
    );
  if (known.size > 1)
    problems.add(
      problem('warning', 'several-crops', `The log names several crops: ${listed([...known])}.`, {
        where,
        hint: 'Split the file by crop.',
      }),
    );
  return known.size === 1 && unknown.length === 0 ? [...known][0]! : null;
}

function timesOf(
  rows: HarvestLogRows,
  rules: RowRules,
  durationS: Numbers | null,
  file: string,
  problems: ProblemList,
): Float64Array {
  const recording = rows.recording.count > 0 ? rows.recording.done() : new Uint32Array(rows.lon.count);
  const sequence = rows.values.sequence?.done() ?? null;
  const names = rows.recordings.length > 0 ? rows.recordings : [''];
  let timeS: Float64Array = rows.timeS.done();
  if (rules.timesAreMade) {
    const starts = rules.recording
      ? startsInNames(names, { file, column: rules.recording.column.column })
      : names.map(() => null);
    timeS = makeTimes(
      recording,
      sequence,
      starts.map((start) => start ?? 0),
      durationS,
      1,
    );
    const from = starts.every((start) => start === null) ? 'from 1970 on' : 'from the start in each recording’s name';
    problems.add(
      problem(
        'warning',
        'times-made',
        `The log has no time of day: times are made ${from} and the order of logging ("${rules.found.sequence!.column}"), ${durationS ? 'by the seconds each record covers' : 'one second a record'}.`,
        {
          where: { file },
          hint: 'Pauses in the work cannot be seen in them.',
        },
      ),
    );
  }
  if (rules.recording && names.length > 1)
    tellRecordings(names, recording, timeS, rules.recording.column.column, file, problems);
  return timeS;
}

/** Recordings that run at the same time come from several machines: told, because a log is of one machine. */
function tellRecordings(
  names: readonly string[],
  recording: Uint32Array,
  timeS: Float64Array,
  column: string,
  file: string,
  problems: ProblemList,
): void {
  const spans = names.map((name) => ({ name, from: Infinity, to: -Infinity }));
  for (let i = 0; i < recording.length; i++) {
    const span = spans[recording[i]!]!;
    span.from = Math.min(span.from, timeS[i]!);
    span.to = Math.max(span.to, timeS[i]!);
  }
  spans.sort((a, b) => a.from - b.from);
  const overlapping = spans.filter((span, i) =>
    spans.some((other, j) => j !== i && span.from < other.to && other.from < span.to),
  );
  if (overlapping.length === 0) return;
  const seen = overlapping.map(({ name, from, to }) => `${name} (${instantText(from)} to ${instantText(to)})`);
  problems.add(
    problem(
      'warning',
      'recordings-overlap',
      `${overlapping.length} recordings run at the same time: ${listed(seen)}. They are of more than one machine.`,
      {
        where: { file, column },
        hint: `Read them one at a time: recording = "${column}=${overlapping[0]!.name}".`,
      },
    ),
  );
}

function finish(table: Table, rules: RowRules, rows: HarvestLogRows, problems: ProblemList): HarvestLogRecords {
  const file = table.name;
  const { found } = rules;
  const column = (id: ValueId) => rows.values[id]?.done() ?? null;
  const crop = cropOf(rows, table, problems);
  const durationS = column('duration');
  const timeS = timesOf(rows, rules, durationS, file, problems);
  const sections = rows.section.count > 0 ? groupSections(timeS, rows.section.done()) : null;
  const steps = sections ? Float64Array.from(firstRows(sections.record, sections.count), (row) => timeS[row]!) : timeS;
  const log: RawLog = {
    count: timeS.length,
    timeS: steps,
    swath: column('swath'),
    distance: column('distance'),
    speed: column('speed'),
    duration: durationS,
    flow: column('flow'),
    mass: column('mass'),
    yield: column('yield'),
    yieldVolume: column('yieldVolume'),
  };
  const { speed, notes } = speedOf(log, file);
  problems.addAll(notes);
  const flow = flowOf(log, speed, found, crop, file);
  problems.addAll(flow.notes);
  let merged: SectionColumns = {
    timeS,
    lon: rows.lon.done(),
    lat: rows.lat.done(),
    flow: flow.flow,
    swath: log.swath,
    moisture: column('moisture'),
  };
  let pick: Uint32Array | null = null;
  if (sections) {
    pick = firstRows(sections.record, sections.count);
    merged = mergeSections(merged, sections.record, sections.count);
    problems.add(
      problem(
        'note',
        'sections-merged',
        `${timeS.length} rows of ${sections.sections} header sections make ${sections.count} records: widths and flows of one time add up.`,
        { where: { file, column: found.section!.column } },
      ),
    );
  }
  if (!log.swath)
    problems.add(
      problem('note', 'no-width', 'The log has no cut width: the header width of the machine is used.', {
        where: { file },
      }),
    );
  const count = merged.timeS.length;
  const whole = (values: Numbers | null) => (values ? Float32Array.from(values) : new Float32Array(count).fill(NaN));
  const single = (values: Numbers | null) => {
    if (!values) return new Float32Array(count).fill(NaN);
    return pick ? Float32Array.from(pick, (row) => values[row]!) : whole(values);
  };
  const lines = rows.row.done();
  const down = rows.headerDown.done();
  return {
    kind: 'harvest log',
    count,
    timeS: merged.timeS,
    lon: merged.lon,
    lat: merged.lat,
    flowKgS: whole(merged.flow),
    moistureFraction: whole(merged.moisture),
    swathM: whole(merged.swath),
    headerDown: pick && sections ? anyDown(down, sections.record, count) : down,
    headingDeg: single(column('heading')),
    speedMS: single(speed),
    durationS: single(durationS),
    row: pick ? Uint32Array.from(pick, (row) => lines[row]!) : lines,
    bounds: boundsOfPlaces(merged.lon, merged.lat),
    crop,
  };
}

function anyDown(down: Uint8Array, record: Uint32Array, count: number): Uint8Array {
  const any = new Uint8Array(count);
  for (let i = 0; i < record.length; i++) if (down[i] === 1) any[record[i]!] = 1;
  return any;
}
