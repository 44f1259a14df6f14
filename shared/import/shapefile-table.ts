/**
 * The attribute table of a shapefile (.dbf): one row a shape. A cell that cannot be read is null and told; stars are a number
 * that did not fit, hence missing, never zero.
 * @source dBase III+ table structure (memory); Esri shapefile technical description, July 1998; reference/file-interop.
 */
import { done, problem, ProblemList, refused, type Outcome } from '../model/problem.ts';
import type { Scalar } from './boundaries.ts';
import { chooseCodePage, type CodePage } from './code-page.ts';

export interface TableColumn {
  readonly name: string;
  /** dBase letter: C text, N and F number, L yes or no, D date, … */
  readonly type: string;
  readonly width: number;
  readonly decimals: number;
}

export interface TableRow {
  readonly values: Readonly<Record<string, Scalar>>;
  /** Marked deleted, though its cells are still there. */
  readonly deleted: boolean;
}

export interface Table {
  readonly columns: readonly TableColumn[];
  readonly rows: readonly TableRow[];
  readonly encoding: string;
}

/** @param dbf bytes of the .dbf @param cpg text of the .cpg, or null @returns A refusal with `attributes-damaged`. */
export function readTable(dbf: Uint8Array, cpg: string | null, file: string): Outcome<Table> {
  const where = { file };
  const damaged = (what: string) =>
    refused(problem('error', 'attributes-damaged', `The .dbf is not readable: ${what}.`, { where }));
  if (dbf.length < 33) return damaged(`it has only ${dbf.length} bytes`);
  const view = new DataView(dbf.buffer, dbf.byteOffset, dbf.byteLength);
  const said = view.getUint32(4, true);
  const headerBytes = view.getUint16(8, true);
  const rowBytes = view.getUint16(10, true);
  if (headerBytes < 33 || headerBytes > dbf.length)
    return damaged(`its header claims ${headerBytes} bytes of ${dbf.length}`);
  const problems = new ProblemList();
  const columns = readColumns(dbf, headerBytes);
  const used = columns.reduce((sum, column) => sum + column.width, 1);
  if (columns.length === 0) return damaged('it has no columns');
  if (used > rowBytes) return damaged(`its columns need ${used} bytes a row, its header says ${rowBytes}`);

  const room = Math.floor((dbf.length - headerBytes) / rowBytes);
  const count = Math.min(said, room);
  if (said > room) {
    const text = `The .dbf ends early: its header says ${said} rows, ${room} are whole.`;
    problems.add(problem('warning', 'attributes-cut', text, { where, hint: 'Copy or export it again.' }));
  }
  const starts = columns.map((_, i) => columns.slice(0, i).reduce((sum, column) => sum + column.width, 1));
  const cellOf = (row: number, column: number) => {
    const at = headerBytes + row * rowBytes + starts[column]!;
    const cell = dbf.subarray(at, at + columns[column]!.width);
    return isBinary(columns[column]!) ? cell : trimmed(cell);
  };
  const page = chooseCodePage(cpg, dbf[29]!, textSample(columns, count, cellOf));
  if (page.doubt !== null) {
    problems.add(
      problem('warning', 'encoding-guessed', `${page.doubt}.`, { where, hint: 'Check names with accents.' }),
    );
  }
  tellNames(columns, (code, text) => problems.add(problem('note', code, text, { where })));
  const keys = uniqueNames(columns);
  const starred = columns.map(() => 0);
  const rows = Array.from({ length: count }, (_, row) => {
    const values: Record<string, Scalar> = {};
    columns.forEach((column, i) => {
      const cell = cellOf(row, i);
      const value = readCell(cell, column, page, (code, text) =>
        problems.add(problem('warning', code, text, { where: { file, row: row + 1, column: keys[i]! } })),
      );
      if (isNumber(column) && cell.length === column.width && cell.every((byte) => byte === STAR)) starred[i]!++;
      Object.defineProperty(values, keys[i]!, { value, enumerable: true, writable: true, configurable: true });
    });
    return { values, deleted: dbf[headerBytes + row * rowBytes] === STAR };
  });
  starred.forEach((times, i) => {
    if (times === 0) return;
    const text = `“${keys[i]!}” holds stars instead of a number in ${times} of ${count} rows: missing or too large for its column, and taken as missing, not as zero.`;
    problems.add(problem('note', 'number-overflow', text, { where: { file, column: keys[i]! } }));
  });
  const named = columns.map((column, i) => ({ ...column, name: keys[i]! }));
  return done({ columns: named, rows, encoding: page.name }, problems.list());
}

export function readColumns(dbf: Uint8Array, headerBytes: number): TableColumn[] {
  const columns: TableColumn[] = [];
  for (let at = 32; at + 32 <= headerBytes && dbf[at] !== 0x0d; at += 32) {
    // The name fills at most 11 bytes; a full one lacks its closing zero.
    const nameBytes = dbf.subarray(at, at + 11);
    const zero = nameBytes.indexOf(0);
    const name = new TextDecoder().decode(zero < 0 ? nameBytes : nameBytes.subarray(0, zero)).trim();
    columns.push({
      name: name === '' ? `column ${columns.length + 1}` : name,
      type: String.fromCharCode(dbf[at + 11]!),
      // Text wider than 255 bytes borrows the byte for decimals.
      width: dbf[at + 11] === 0x43 ? dbf[at + 16]! + 256 * dbf[at + 17]! : dbf[at + 16]!,
      decimals: dbf[at + 11] === 0x43 ? 0 : dbf[at + 17]!,
    });
  }
  return columns;
}

export function tellNames(columns: readonly TableColumn[], tell: (code: string, text: string) => void): void {
  const bytesOf = (name: string) => new TextEncoder().encode(name).length;
  const cut = columns.filter(({ name }) => bytesOf(name) === 10).map(({ name }) => name);
  if (cut.length > 0) {
    const which = cut.length === 1 ? `The column name ${cut[0]!} fills` : `The column names ${cut.join(', ')} fill`;
    tell(
      'column-names-cut',
      `${which} all ten letters that a shapefile has room for; longer ones were cut by its writer.`,
    );
  }
  for (const { name } of columns.filter((column) => bytesOf(column.name) === 11)) {
    tell(
      'column-name-unterminated',
      `The column name ${name} fills 11 bytes without its closing zero; it is read whole.`,
    );
  }
}

export function uniqueNames(columns: readonly TableColumn[]): string[] {
  const seen = new Map<string, number>();
  return columns.map(({ name }) => {
    const times = (seen.get(name) ?? 0) + 1;
    seen.set(name, times);
    return times === 1 ? name : `${name} (${times})`;
  });
}

const STAR = 0x2a;

const isNumber = ({ type }: TableColumn) => type === 'N' || type === 'F';

export const isBinary = ({ type, width }: TableColumn) =>
  (type === 'I' && width === 4) || ((type === 'O' || type === 'B') && width === 8);

/** Without the padding: blanks and zero bytes at the end, blanks at the start. */
export function trimmed(cell: Uint8Array): Uint8Array {
  let from = 0;
  let to = cell.length;
  while (to > from && (cell[to - 1] === 0x20 || cell[to - 1] === 0)) to--;
  while (from < to && cell[from] === 0x20) from++;
  return cell.subarray(from, to);
}

const isHigh = (byte: number) => byte > 127;

/** All text cells with a letter beyond ASCII, a letter cut at the column's end left out where others remain. */
export function textSample(
  columns: readonly TableColumn[],
  count: number,
  cellOf: (row: number, column: number) => Uint8Array,
): Uint8Array {
  const cells: Uint8Array[] = [];
  columns.forEach((column, i) => {
    if (column.type !== 'C') return;
    for (let row = 0; row < count; row++) {
      const cell = cellOf(row, i);
      if (cell.some(isHigh)) cells.push(cell);
    }
  });
  const whole = cells.map((cell) => withoutCutLetter(cell));
  const chosen = whole.some((cell) => cell.some(isHigh)) ? whole : cells;
  const sample = new Uint8Array(chosen.reduce((sum, cell) => sum + cell.length + 1, 0));
  let at = 0;
  for (const cell of chosen) {
    sample.set(cell, at);
    at += cell.length;
    sample[at++] = 0x0a;
  }
  return sample;
}

/** A UTF-8 text without an unfinished last letter. */
function withoutCutLetter(cell: Uint8Array): Uint8Array {
  for (let back = 1; back <= Math.min(3, cell.length); back++) {
    const byte = cell[cell.length - back]!;
    if (byte < 0x80) return cell;
    if (byte < 0xc0) continue;
    const needs = byte >= 0xf0 ? 4 : byte >= 0xe0 ? 3 : 2;
    return needs > back ? cell.subarray(0, cell.length - back) : cell;
  }
  return cell;
}

function readCell(
  cell: Uint8Array,
  column: TableColumn,
  page: CodePage,
  tell: (code: string, text: string) => void,
): Scalar {
  if (isBinary(column)) {
    const view = new DataView(cell.buffer, cell.byteOffset, cell.byteLength);
    const value = column.type === 'I' ? view.getInt32(0, true) : view.getFloat64(0, true);
    return Number.isFinite(value) ? value : null;
  }
  if (column.type === 'C') {
    const isUtf8 = page.name.startsWith('UTF-8') || page.name.startsWith('utf-8');
    const whole = isUtf8 && cell.length >= column.width - 3 ? withoutCutLetter(cell) : cell;
    if (whole.length < cell.length)
      tell('text-cut', `A text in “${column.name}” was cut inside a letter by its writer.`);
    return page.decode(whole);
  }
  const text = page.decode(cell);
  if (text === '') return null;
  if (isNumber(column)) {
    if (text.length === column.width && /^\*+$/.test(text)) return null;
    if (text.includes('*')) {
      const what = `“${column.name}” holds ${text}: a number that did not fit. It counts as missing, not as zero.`;
      tell('number-overflow', what);
      return null;
    }
    const value = Number(text);
    if (Number.isFinite(value)) return value;
    tell('number-unreadable', `“${column.name}” holds “${text}”, which is not a number. It counts as missing.`);
    return null;
  }
  if (column.type === 'L') return /^[TtYy]$/.test(text) ? true : /^[FfNn]$/.test(text) ? false : null;
  if (column.type === 'D') {
    const day = /^(\d{4})(\d{2})(\d{2})$/.exec(text);
    if (day) return `${day[1]}-${day[2]}-${day[3]}`;
    if (/^0*$/.test(text)) return null;
    tell('date-unreadable', `“${column.name}” holds “${text}”, which is not a date. It counts as missing.`);
    return null;
  }
  return text;
}
