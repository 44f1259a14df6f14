/**
 * The attribute table (.dbf) of a shapefile. Column names are cut to ten ASCII letters, text to 254 bytes at the border of a
 * letter, and numbers to 15 decimals; each is told. A number whose whole part does not fit throws: nothing is written as stars.
 * @source dBase III+ table structure (memory); judged by GDAL 3.6.2 once by hand and by shpjs in the tests.
 */
import { problem, type Problem } from '../model/problem.ts';

type Row = Readonly<Record<string, string | number | null>>;

export interface WrittenTable {
  readonly dbf: Uint8Array;
  /** Property → name in the table. */
  readonly names: ReadonlyMap<string, string>;
  readonly notes: Problem[];
}

interface Column {
  readonly property: string;
  readonly name: string;
  readonly type: 'C' | 'N';
  readonly width: number;
  readonly decimals: number;
}

const NAME_BYTES = 10;
const TEXT_BYTES = 254;
const NUMBER_WIDTH = 20;
const MOST_DECIMALS = 15;

/** @throws On a column that mixes text and numbers, or a number that does not fit 20 digits. */
export function writeTable(properties: readonly string[], rows: readonly Row[]): WrittenTable {
  const notes: Problem[] = [];
  // A table needs a column; without properties it numbers the zones.
  const numbered = properties.length === 0;
  const given = numbered ? ['zone'] : properties;
  const values = (property: string) => rows.map((row, i) => (numbered ? i + 1 : (row[property] ?? null)));
  const names = shortNames(given, notes);
  const columns = given.map((property) => columnOf(property, names.get(property)!, values(property), notes));

  const headerBytes = 32 + 32 * columns.length + 1;
  const rowBytes = columns.reduce((sum, column) => sum + column.width, 1);
  if (rowBytes > 65535) throw new Error(`export: a row of ${rowBytes} bytes does not fit a .dbf`);
  const dbf = new Uint8Array(headerBytes + rowBytes * rows.length + 1);
  const view = new DataView(dbf.buffer);
  // The date is fixed: the same zones give the same bytes on any day.
  dbf.set([3, 100, 1, 1]);
  view.setUint32(4, rows.length, true);
  view.setUint16(8, headerBytes, true);
  view.setUint16(10, rowBytes, true);
  columns.forEach((column, i) => {
    const at = 32 + 32 * i;
    dbf.set(new TextEncoder().encode(column.name), at);
    dbf[at + 11] = column.type.charCodeAt(0);
    dbf[at + 16] = column.width;
    dbf[at + 17] = column.decimals;
  });
  dbf[headerBytes - 1] = 0x0d;
  dbf.fill(0x20, headerBytes, dbf.length - 1);
  dbf[dbf.length - 1] = 0x1a;

  let start = 1;
  for (const column of columns) {
    values(column.property).forEach((value, row) => {
      if (value === null || value === '') return;
      const at = headerBytes + row * rowBytes + start;
      if (typeof value === 'number') {
        const text = value.toFixed(column.decimals).padStart(column.width);
        dbf.set(new TextEncoder().encode(text), at);
        return;
      }
      const bytes = new TextEncoder().encode(value);
      const cut = cutAtLetter(bytes, column.width);
      dbf.set(cut, at);
      if (cut.length < bytes.length) {
        const kept = new TextDecoder().decode(cut);
        const text = `Zone ${row + 1}: the text in “${column.name}” is cut to ${cut.length} bytes (“…${kept.slice(-20)}”).`;
        notes.push(problem('warning', 'text-cut', text, { where: { row: row + 1, column: column.property } }));
      }
    });
    start += column.width;
  }
  return { dbf, names, notes };
}

function columnOf(
  property: string,
  name: string,
  values: readonly (string | number | null)[],
  notes: Problem[],
): Column {
  const numbers = values.filter((value) => typeof value === 'number');
  const texts = values.filter((value) => typeof value === 'string');
  if (numbers.length > 0 && texts.length > 0) throw new Error(`export: “${property}” mixes text and numbers`);
  if (numbers.length === 0) {
    const longest = Math.max(1, ...texts.map((text) => new TextEncoder().encode(text).length));
    return { property, name, type: 'C', width: Math.min(TEXT_BYTES, longest), decimals: 0 };
  }
  const needed = Math.max(...numbers.map(decimalsOf));
  const whole = Math.max(...numbers.map((value) => value.toFixed(0).length));
  const largest = Math.max(...numbers.map(Math.abs));
  if (whole > NUMBER_WIDTH || largest >= 1e19) {
    throw new Error(`export: ${largest} in “${property}” does not fit ${NUMBER_WIDTH} digits`);
  }
  const decimals = Math.max(0, Math.min(needed, MOST_DECIMALS, NUMBER_WIDTH - whole - 2));
  const error = Math.max(...numbers.map((value) => Math.abs(Number(value.toFixed(decimals)) - value)));
  if (error > 0) {
    const text = `“${name}” is written with ${decimals} decimals; the largest change is ${error.toPrecision(2)}.`;
    notes.push(problem('note', 'number-rounded', text, { where: { column: property } }));
  }
  const width = Math.max(...numbers.map((value) => value.toFixed(decimals).length));
  return { property, name, type: 'N', width, decimals };
}

/** Decimals of the shortest text that gives the number back. */
function decimalsOf(value: number): number {
  const [digits = '', exponent = '0'] = value.toString().split('e');
  const fraction = digits.split('.')[1]?.length ?? 0;
  return Math.max(0, fraction - Number(exponent));
}

function shortNames(properties: readonly string[], notes: Problem[]): Map<string, string> {
  const taken = new Set<string>();
  const names = new Map<string, string>();
  for (const property of properties) {
    const plain = property
      .normalize('NFD')
      .replace(/\p{M}/gu, '')
      .replace(/[^A-Za-z0-9_]+/g, '_');
    const base = (/^[A-Za-z]/.test(plain) ? plain : `c_${plain}`).slice(0, NAME_BYTES);
    let name = base;
    for (let n = 1; taken.has(name.toLowerCase()); n++) name = `${base.slice(0, NAME_BYTES - 1 - `${n}`.length)}_${n}`;
    taken.add(name.toLowerCase());
    names.set(property, name);
    if (name !== property) {
      const text = `The column “${property}” is called “${name}” in the shapefile, which has room for ten plain letters.`;
      notes.push(problem('note', 'column-name-cut', text, { where: { column: property } }));
    }
  }
  return names;
}

/** At most `most` bytes of a UTF-8 text, no letter halved. */
function cutAtLetter(bytes: Uint8Array, most: number): Uint8Array {
  if (bytes.length <= most) return bytes;
  let end = most;
  while (end > 0 && (bytes[end]! & 0xc0) === 0x80) end--;
  return bytes.subarray(0, end);
}
