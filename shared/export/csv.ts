/**
 * A table as CSV text (RFC 4180): lines end in CR LF, cells are quoted where they must be, numbers have a point and no thousands
 * separators, units stand in the header. Text that a spreadsheet would run as a formula is held off by an apostrophe (CWE-1236).
 */
import { fromSI, type UnitId, UNITS } from '../units/units.ts';
import type { Range } from '../model/range.ts';

export type Cell = string | number | null;

export interface TableColumn<Row> {
  readonly title: string;
  of(row: Row): Cell;
}

export interface Table<Row> {
  readonly columns: readonly TableColumn<Row>[];
  readonly rows: readonly Row[];
}

/** @throws on a number that is not finite: what is not known is null, an empty cell */
export function csvText<Row>({ columns, rows }: Table<Row>): string {
  const lines = [
    columns.map((one) => textCell(one.title)),
    ...rows.map((row) => columns.map((one) => cell(one.of(row)))),
  ];
  return lines.map((cells) => `${cells.join(',')}\r\n`).join('');
}

/** Column of a quantity: SI in the row, the unit on the page and in the header. */
export function quantityColumn<Row>(title: string, unit: UnitId, of: (row: Row) => number | null): TableColumn<Row> {
  return { title: withUnit(title, unit), of: (row) => shown(of(row), unit) };
}

/** A range as three columns: least, most likely, most. */
export function rangeColumns<Row>(title: string, unit: UnitId, of: (row: Row) => Range): TableColumn<Row>[] {
  const ends = [
    ['least', 'low'],
    ['most likely', 'central'],
    ['most', 'high'],
  ] as const;
  return ends.map(([word, end]) => quantityColumn(`${title}, ${word}`, unit, (row) => of(row)[end]));
}

function withUnit(title: string, unit: UnitId): string {
  const { symbol } = UNITS[unit];
  return symbol === '' ? title : `${title} (${symbol.replace(/^\//, 'per ')})`;
}

/** Nine figures: more than any estimate holds, and free of the noise of conversion. */
function shown(value: number | null, unit: UnitId): number | null {
  return value === null ? null : Number(fromSI(value, unit).toPrecision(9));
}

function cell(value: Cell): string {
  if (value === null) return '';
  if (typeof value === 'string') return textCell(value);
  if (!Number.isFinite(value)) throw new Error(`csv: expected a finite number, got ${value}`);
  return String(value);
}

const RUN_AS_FORMULA = /^[=+\-@\t\r\n]/;
const NEEDS_QUOTES = /[",\r\n]|^\s|\s$/;

function textCell(text: string): string {
  const held = RUN_AS_FORMULA.test(text) ? `'${text}` : text;
  return NEEDS_QUOTES.test(held) ? `"${held.replaceAll('"', '""')}"` : held;
}
