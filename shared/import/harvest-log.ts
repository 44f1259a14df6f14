/** Harvest logs as text tables: one row a record (or a header section), from whichever columns the monitor wrote. */
import { done, problem, ProblemList, refused } from '../model/problem.ts';
import type { Outcome, Problem } from '../model/problem.ts';
import type { HarvestLogRecords, TimesMade } from '../model/records.ts';
import { instantText } from '../units/calendar.ts';
import { boundsOfPlaces } from './bounds-of-places.ts';
import { findColumns, listed, readings } from './columns.ts';
import type { Table } from './csv.ts';
import { harvestLogColumns } from './harvest-log-columns.ts';
import { flowOf, speedOf } from './harvest-log-flow.ts';
import type { RawLog } from './harvest-log-flow.ts';
import { HarvestLogRows } from './harvest-log-rows.ts';
import type { RowRules, ValueId } from './harvest-log-rows.ts';
import {
  findRules,
  LOGGED_BESIDE,
  plainWishes,
  projectedPositions,
  settleMass,
  untwistPositions,
} from './harvest-log-rules.ts';
import type { Numbers } from './growing.ts';
import { firstRows, groupSections, mergeSections } from './header-sections.ts';
import type { SectionColumns } from './header-sections.ts';
import type { Bundle, Importer, ReadFile, ReadingWishes } from './importer.ts';
import { ASSUMED_SPEED_MS, type MadeTimes, makeTimes, startsInNames } from './made-times.ts';
import { headTable, kindScore, lacking, openBundle, whyKind } from './table.ts';

const NEEDED = [['lon'], ['lat'], ['time', 'date', 'sequence'], ['flow', 'mass', 'yield', 'yieldVolume', 'moisture']];
/** A log that lost its positions: taken, so that reading can say what is lacking. */
const NO_POSITION = [['time'], ['flow', 'mass', 'yield', 'yieldVolume'], ['moisture', 'swath', 'headerState']];
/** A path with widths may be a harvest log, or a seeder's. */
const PATH_ONLY = [['lon'], ['lat'], ['time'], ['swath']];
/** A log without a clock. */
const NO_CLOCK = [['lon'], ['lat'], ['flow', 'mass', 'yield', 'yieldVolume'], LOGGED_BESIDE];

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
    return Math.min(
      0.5,
      Math.max(...[PATH_ONLY, NO_POSITION, NO_CLOCK].map((needed) => kindScore(table, wanted, needed))),
    );
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
  const times = timesOf(rows, rules, wishes, table.name, problems);
  if (times.made?.inOrder === false && !found.sequence) return refused(...problems.list(), noOrder(table));
  const records = finish(table, rules, rows, times, problems);
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

function noOrder(table: Table): Problem {
  const text = `${table.name} has no time, and its rows do not follow one another on the ground: the order of driving is lost.`;
  return problem('error', 'order-unknown', text, {
    where: { file: table.name },
    hint: 'Export it as it was logged, with times or record numbers. A yield map made of it is no log.',
  });
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

interface Times {
  readonly timeS: Float64Array;
  /** Where times are made: what they are made from, with the seconds that each record then covers. */
  readonly made: MadeTimes | null;
  /** Of each row, where recordings run at the same time; null where the log is of one machine. */
  readonly machine: Uint8Array | null;
}

function timesOf(
  rows: HarvestLogRows,
  rules: RowRules,
  wishes: ReadingWishes,
  file: string,
  problems: ProblemList,
): Times {
  const recording = rows.recording.count > 0 ? rows.recording.done() : new Uint32Array(rows.lon.count);
  const names = rows.recordings.length > 0 ? rows.recordings : [''];
  if (!rules.timesAreMade) {
    const timeS: Float64Array = rows.timeS.done();
    return { timeS, made: null, machine: machineOf(timeS) };
  }
  const made = makeTimes(
    {
      lon: rows.lon.done(),
      lat: rows.lat.done(),
      recording,
      startS: rules.recording ? startsInNames(names, { file, column: rules.recording.column.column }) : [],
      day: rules.day ? rows.day.done() : null,
      sequence: rows.values.sequence?.done() ?? null,
      durationS: rows.values.duration?.done() ?? null,
      speedMS: rows.values.speed?.done() ?? null,
    },
    wishes.utcOffsetMinutes ?? 0,
  );
  tellMadeTimes(made, rules, file, problems);
  return { timeS: made.timeS, made, machine: made.from === 'recordings' ? machineOf(made.timeS) : null };

  function machineOf(timeS: Float64Array): Uint8Array | null {
    if (!rules.recording || names.length < 2) return null;
    const overlap = tellRecordings(names, recording, timeS, rules.recording.column.column, file, problems);
    return overlap ? Uint8Array.from(recording) : null;
  }
}

const MADE_BY: Readonly<Record<TimesMade, string>> = {
  duration: 'by the seconds each record covers',
  speed: 'by distance over the speed logged',
  'a second a record': 'one second a record (assumed: its steps are those of a second)',
  distance: `by distance at ${ASSUMED_SPEED_MS} m/s (assumed)`,
};

function tellMadeTimes(made: MadeTimes, rules: RowRules, file: string, problems: ProblemList): void {
  const { sequence } = rules.found;
  const order = sequence ? `the order of logging ("${sequence.column}")` : 'the order of its rows';
  const from = {
    recordings: 'from the start in each recording’s name',
    days: 'from noon of each day',
    nothing: 'from 1970 on',
  }[made.from];
  const pauses =
    made.jumps > 0 && made.by !== 'duration'
      ? ` ${made.jumps === 1 ? '1 way between rows was' : `${made.jumps} ways between rows were`} not logged: a pause is put there.`
      : '';
  problems.add(
    problem(
      'warning',
      'times-made',
      `The log has no time of day: times are made ${from} and ${order}, ${MADE_BY[made.by]}.${pauses}`,
      { where: { file }, hint: 'Order and distance hold; hours and pauses mean nothing in it.' },
    ),
  );
}

/** Recordings that run at the same time come from several machines: told, and each is followed by itself. */
function tellRecordings(
  names: readonly string[],
  recording: Uint32Array,
  timeS: Float64Array,
  column: string,
  file: string,
  problems: ProblemList,
): boolean {
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
  if (overlapping.length === 0) return false;
  const seen = overlapping.map(({ name, from, to }) => `${name} (${instantText(from)} to ${instantText(to)})`);
  problems.add(
    problem(
      'warning',
      'recordings-overlap',
      `${overlapping.length} recordings run at the same time: ${listed(seen)}. They are of more than one machine; each is followed by itself.`,
      {
        where: { file, column },
        hint: `To read one alone, say recording = "${column}=${overlapping[0]!.name}".`,
      },
    ),
  );
  return names.length < 256;
}

function finish(
  table: Table,
  rules: RowRules,
  rows: HarvestLogRows,
  times: Times,
  problems: ProblemList,
): HarvestLogRecords {
  const file = table.name;
  const { found } = rules;
  const column = (id: ValueId) => rows.values[id]?.done() ?? null;
  const crop = cropOf(rows, table, problems);
  const { timeS, made } = times;
  const durationS = column('duration') ?? (made && made.by !== 'a second a record' ? made.durationS : null);
  const sections = rows.section.count > 0 ? groupSections(timeS, rows.section.done()) : null;
  const steps = sections ? Float64Array.from(firstRows(sections.record, sections.count), (row) => timeS[row]!) : timeS;
  const log: RawLog = {
    count: timeS.length,
    timeS: steps,
    swath: column('swath'),
    distance: column('distance') ?? (made && made.by !== 'duration' ? made.wayM : null),
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
        hint: 'Or say one width for all rows (swath: "=30 ft").',
      }),
    );
  if (!found.moisture)
    problems.add(
      problem(
        'note',
        'no-moisture',
        'The log has no moisture: its grain is taken to be as moist as the crop is traded.',
        {
          where: { file },
          hint: 'Or say one moisture for all rows (moisture: "=17 %").',
        },
      ),
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
    ...(times.machine && !pick ? { machine: times.machine } : {}),
    ...(made ? { timesMade: made.by } : {}),
    bounds: boundsOfPlaces(merged.lon, merged.lat),
    crop,
  };
}

function anyDown(down: Uint8Array, record: Uint32Array, count: number): Uint8Array {
  const any = new Uint8Array(count);
  for (let i = 0; i < record.length; i++) if (down[i] === 1) any[record[i]!] = 1;
  return any;
}
