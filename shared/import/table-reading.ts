/** The way of every small table: open, find columns, refuse with the columns seen, take row after row, tell what is left over. */
import { dayNumberOf } from '../units/calendar.ts';
import { done, ProblemList, refused } from '../model/problem.ts';
import type { Outcome, Problem } from '../model/problem.ts';
import type { FileKind, Records } from '../model/records.ts';
import { problem } from '../model/problem.ts';
import { findColumns, readings } from './columns.ts';
import type { FoundColumn, FoundColumns, WantedColumn } from './columns.ts';
import type { CellBlock } from './csv-cells.ts';
import type { Table } from './csv.ts';
import { findDayOrder, readDay } from './dates.ts';
import type { Bundle, ReadFile, ReadingWishes } from './importer.ts';
import { isMissing } from './number-text.ts';
import { lacking, openBundle, whyKind } from './table.ts';
import type { NEEDS } from './table.ts';
import { checkWidth, NumberColumn } from './table-rows.ts';
import type { UnitWord } from './unit-words.ts';

export interface TableReading {
  readonly table: Table;
  readonly found: FoundColumns;
  readonly wishes: ReadingWishes;
  readonly problems: ProblemList;
  /** Tells something about one row. */
  tell(
    level: Problem['level'],
    code: string,
    what: string,
    cells: CellBlock,
    row: number,
    column?: FoundColumn,
    hint?: string,
  ): void;
  /** Tells something about the whole file. */
  note(level: Problem['level'], code: string, text: string, column?: FoundColumn, hint?: string): void;
  number(id: string, title: string): NumberColumn | null;
  text(cells: CellBlock, row: number, id: string): string;
  day(id: string): DayColumn | null;
}

/** Takes rows; gives the records, or null where no row was of use. */
export interface RowTaker {
  /** False where the row is of no use (and was told). */
  take(cells: CellBlock, row: number): boolean;
  finish(): Records | null;
}

/** What a table lacks, in words, with a hint how to say it. */
export interface Lack {
  readonly what: string;
  readonly hint?: string;
}

/** 1850 to 2150: a year beyond is a slip of the pen. */
const EARLIEST_DAY = dayNumberOf(1850, 1, 1);
const LATEST_DAY = dayNumberOf(2150, 12, 31);

/** A column of days: read with the order found for the whole column. */
export class DayColumn {
  private readonly order;
  constructor(
    private readonly found: FoundColumn,
    private readonly reading: TableReading,
  ) {
    const { table } = reading;
    const texts =
      found.constant === undefined ? table.sample.map((row) => (row[found.index] ?? '').trim()) : [found.constant];
    const { order, problems } = findDayOrder(texts, { file: table.name, column: found.column });
    this.order = order;
    reading.problems.addAll(problems);
  }

  /** Days since 1970-01-01; null where missing (not told) or unreadable (told). */
  read(cells: CellBlock, row: number): number | null {
    const text = this.found.constant ?? cells.text(row, this.found.index);
    if (isMissing(text)) return null;
    const day = readDay(text, this.order);
    if (day === null) {
      this.reading.tell(
        'warning',
        'not-a-date',
        `"${text.slice(0, 40)}" is no date`,
        cells,
        row,
        this.found,
        'Write dates as year-month-day.',
      );
    }
    if (day !== null && (day < EARLIEST_DAY || day > LATEST_DAY)) {
      this.reading.tell('warning', 'date-range', `"${text}" is not a date of our time`, cells, row, this.found);
      return null;
    }
    return day;
  }
}

function readingOf(table: Table, found: FoundColumns, wishes: ReadingWishes, problems: ProblemList): TableReading {
  const reading: TableReading = {
    table,
    found,
    wishes,
    problems,
    tell(level, code, what, cells, row, column, hint) {
      const line = cells.line(row);
      const where = { file: table.name, row: line, ...(column ? { column: column.column } : {}) };
      problems.add(problem(level, code, `Row ${line}: ${what}.`, { where, ...(hint === undefined ? {} : { hint }) }));
    },
    note(level, code, text, column, hint) {
      const where = { file: table.name, ...(column ? { column: column.column } : {}) };
      problems.add(problem(level, code, text, { where, ...(hint === undefined ? {} : { hint }) }));
    },
    number: (id, title) => (found[id] ? new NumberColumn(found[id], title, table.name, problems) : null),
    text: (cells, row, id) => (found[id] ? (found[id].constant ?? cells.text(row, found[id].index)) : ''),
    day: (id) => (found[id] ? new DayColumn(found[id], reading) : null),
  };
  return reading;
}

/**
 * Reads a table of `kind` row by row.
 * @param start looks at the columns found; gives who takes the rows, or what is lacking
 */
export function* readTableRows(
  importer: string,
  kind: keyof typeof NEEDS & FileKind,
  bundle: Bundle,
  wishes: ReadingWishes,
  wanted: readonly WantedColumn[],
  start: (reading: TableReading) => RowTaker | Lack | { readonly refusal: Problem },
): Generator<readonly [number, number], Outcome<ReadFile>, void> {
  const opened = openBundle(bundle, wishes);
  if (!opened.ok) return opened;
  const table = opened.value;
  const problems = new ProblemList();
  problems.addAll(table.notes);
  const { found, problems: told } = findColumns(wanted, table, wishes);
  problems.addAll(told);
  const reading = readingOf(table, found, wishes, problems);
  const taker = start(reading);
  if ('refusal' in taker) return refused(...problems.list(), taker.refusal);
  if ('what' in taker) return refused(...problems.list(), lacking(table, kind, taker.what, taker.hint));
  let rows = 0;
  let unusedRows = 0;
  yield [0, table.size];
  for (const { cells, bytesDone, problems: met } of table.blocks()) {
    problems.addAll(met);
    for (let row = 0; row < cells.rows; row++) {
      rows++;
      if (cells.width(row) !== table.header.length) checkWidth(cells, row, table.header, table.name, problems);
      if (!taker.take(cells, row)) unusedRows++;
    }
    yield [Math.min(bytesDone, table.size), table.size];
  }
  const records = taker.finish();
  if (!records) {
    const why =
      rows === 0 ? `${table.name} has a header but no rows.` : `None of the ${rows} rows of ${table.name} can be used.`;
    return refused(...problems.list(), problem('error', 'no-records', why, { where: { file: table.name } }));
  }
  return done(
    {
      reading: {
        importer,
        takenFor: kind,
        why: whyKind(table, kind, wanted, found, wishes),
        ...(found.lon && found.lat ? { crs: table.crs ?? 'WGS 84 (longitude and latitude in degrees)' } : {}),
        ...(wishes.utcOffsetMinutes === undefined ? {} : { utcOffsetMinutes: wishes.utcOffsetMinutes }),
        columns: readings(found),
        rows,
        unusedRows,
      },
      records,
    },
    problems.list(),
  );
}

/** Names from a text with blanks between them. */
export const words = (text: string): string[] => text.split(' ');

export const unitGuess = (unit: UnitWord, because: string, sure: boolean) => ({ unit, because, sure });
