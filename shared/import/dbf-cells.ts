/** Rows of a .dbf as cells of a table, with columns of numbers before them. */
import type { CodePage } from './code-page.ts';
import type { CellBlock } from './csv-cells.ts';
import { numberInBytes } from './number-text.ts';
import type { DbfLayout } from './point-table.ts';
import { isBinary, trimmed } from './shapefile-table.ts';

const STAR = 0x2a;

/** Filled row by row; the same arrays serve block after block. */
export class DbfCells implements CellBlock {
  rows = 0;
  private readonly bytes: Uint8Array;
  private readonly view: DataView;
  private readonly lines: Uint32Array;
  private readonly numbers: Float64Array;

  constructor(
    private readonly layout: DbfLayout,
    private readonly page: CodePage,
    private readonly before: number,
    most: number,
  ) {
    this.bytes = new Uint8Array(layout.rowBytes * most);
    this.view = new DataView(this.bytes.buffer);
    this.lines = new Uint32Array(most);
    this.numbers = new Float64Array(most * before);
  }

  start(): void {
    this.rows = 0;
  }

  add(row: Uint8Array, line: number, ...numbers: readonly number[]): void {
    this.bytes.set(row, this.rows * this.layout.rowBytes);
    this.lines[this.rows] = line;
    numbers.forEach((value, n) => (this.numbers[this.rows * this.before + n] = value));
    this.rows++;
  }

  line = (row: number): number => this.lines[row]!;
  width = (): number => this.before + this.layout.columns.length;

  text(row: number, column: number): string {
    if (column < this.before) {
      const value = this.numbers[row * this.before + column]!;
      return value === value ? String(value) : '';
    }
    const [at, wide] = this.cellAt(row, column);
    const { type, width } = this.layout.columns[column - this.before]!;
    if (wide) return String(this.number(row, column));
    const cell = trimmed(this.bytes.subarray(at, at + width));
    if (cell.length > 0 && cell.every((byte) => byte === STAR)) return '';
    const text = this.page.decode(cell);
    if (type !== 'D') return text;
    const day = /^(\d{4})(\d{2})(\d{2})$/.exec(text);
    return day ? `${day[1]}-${day[2]}-${day[3]}` : /^0*$/.test(text) ? '' : text;
  }

  number(row: number, column: number): number {
    if (column < this.before) return this.numbers[row * this.before + column]!;
    const [at, wide] = this.cellAt(row, column);
    const { type, width } = this.layout.columns[column - this.before]!;
    if (wide) return type === 'I' ? this.view.getInt32(at, true) : this.view.getFloat64(at, true);
    let end = at + width;
    while (end > at && this.bytes[end - 1] === 0) end--;
    return numberInBytes(this.bytes, at, end, 46);
  }

  /** Where the cell starts, and whether it is a number in bytes. */
  private cellAt(row: number, column: number): readonly [number, boolean] {
    const which = column - this.before;
    return [row * this.layout.rowBytes + this.layout.starts[which]!, isBinary(this.layout.columns[which]!)];
  }
}
