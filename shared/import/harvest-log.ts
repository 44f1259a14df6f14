/** Harvest logs as text tables: one row a record (or a header section), from whichever columns the monitor wrote. */
import { done, problem, ProblemList, refused } from '../model/problem.ts';
import type { Outcome, Problem } from '../model/problem.ts';
import { findColumns, readings } from './columns.ts';
import type { Table } from './csv.ts';
import { harvestLogColumns } from './harvest-log-columns.ts';
import { recordsOfRows } from './harvest-log-records.ts';
import { HarvestLogRows } from './harvest-log-rows.ts';
import {
  findRules,
  LOGGED_BESIDE,
  plainWishes,
  projectedPositions,
  settleMass,
  untwistPositions,
} from './harvest-log-rules.ts';
import { timesOf } from './harvest-log-times.ts';
import type { Bundle, Importer, ReadFile, ReadingWishes } from './importer.ts';
import { DISORDER } from './made-times.ts';
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
  const records = recordsOfRows(table, rules, rows, times, problems);
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
  const text = `${table.name} has no time, and its rows do not follow one another on the ground: the order of driving is lost (assumed where the usual step is over ${DISORDER.stepM} m, or over ${100 * DISORDER.jumpFraction}% of the steps are jumps).`;
  return problem('error', 'order-unknown', text, {
    where: { file: table.name },
    hint: 'Export it as it was logged, with times or record numbers. A yield map made of it is no log.',
  });
}
