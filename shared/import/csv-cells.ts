/**
 * The fast way through a block of lines: where each cell starts and ends, found in one pass over the text, without a string a
 * cell. Takes plain cells and cells wholly in quotes; a doubled quote or a line end inside quotes is left to the full parser.
 */
import type { TextBlock } from './csv-blocks.ts';
import { numberInBytes, numberOf } from './number-text.ts';
import type { Decimal } from './number-text.ts';

/** Rows of cells; valid until the next block is asked for. */
export interface CellBlock {
  readonly rows: number;
  /** Line of the file on which the row starts, from 1. */
  line(row: number): number;
  /** Number of cells in the row. */
  width(row: number): number;
  /** The cell without blanks around it; '' where the row has no such cell. */
  text(row: number, column: number): string;
  /** NaN where the cell is empty or no number. */
  number(row: number, column: number): number;
}

const QUOTE = 34;
const utf8 = new TextDecoder('utf-8', { ignoreBOM: true });

/** Reads blocks one after the other into the same arrays. */
export class CellScanner implements CellBlock {
  rows = 0;
  private bytes: Uint8Array = new Uint8Array(0);
  private body = '';
  private aligned = true;
  private starts = new Int32Array(1 << 16);
  private ends = new Int32Array(1 << 16);
  private firstCell = new Int32Array(1 << 13);
  private lines = new Uint32Array(1 << 13);

  constructor(
    private readonly delimiter: number,
    private readonly lineEnd: number,
    private readonly decimal: Decimal,
  ) {}

  line = (row: number): number => this.lines[row]!;
  width = (row: number): number => this.firstCell[row + 1]! - this.firstCell[row]!;

  text(row: number, column: number): string {
    const cell = this.firstCell[row]! + column;
    if (cell >= this.firstCell[row + 1]!) return '';
    if (this.aligned) return this.body.slice(this.starts[cell], this.ends[cell]).trim();
    return utf8.decode(this.bytes.subarray(this.starts[cell], this.ends[cell])).trim();
  }

  number(row: number, column: number): number {
    const cell = this.firstCell[row]! + column;
    if (cell >= this.firstCell[row + 1]!) return NaN;
    return numberInBytes(this.bytes, this.starts[cell]!, this.ends[cell]!, this.decimal);
  }

  /** False where the lines need the full parser. Blank lines are no rows. @cost O(bytes) */
  scan(block: TextBlock): boolean {
    const { delimiter, lineEnd } = this;
    const { bytes } = block;
    const length = bytes.length;
    let { starts, ends } = this;
    let cells = 0;
    let rows = 0;
    let line = block.firstLine;
    let at = 0;
    this.bytes = bytes;
    this.body = block.text;
    this.aligned = block.aligned;
    while (at < length) {
      if (rows + 2 > this.firstCell.length) this.widenRows();
      const first = cells;
      this.firstCell[rows] = first;
      this.lines[rows] = line++;
      for (;;) {
        if (cells === starts.length) {
          this.widenCells();
          ({ starts, ends } = this);
        }
        let code = at < length ? bytes[at]! : lineEnd;
        if (code === QUOTE) {
          starts[cells] = ++at;
          while (at < length && bytes[at] !== QUOTE) if (bytes[at++] === lineEnd) return false;
          if (at >= length) return false;
          ends[cells++] = at++;
          if (at < length && bytes[at] === 13 && (at + 1 === length || bytes[at + 1] === lineEnd)) at++;
          code = at < length ? bytes[at]! : lineEnd;
          if (code !== delimiter && code !== lineEnd) return false;
        } else {
          starts[cells] = at;
          while (code !== delimiter && code !== lineEnd) code = ++at < length ? bytes[at]! : lineEnd;
          ends[cells++] = at;
        }
        at++;
        if (code === lineEnd) break;
      }
      if (cells === first + 1 && this.isBlank(first)) cells = first;
      else rows++;
    }
    if (rows + 2 > this.firstCell.length) this.widenRows();
    this.firstCell[rows] = cells;
    this.rows = rows;
    return true;
  }

  private isBlank(cell: number): boolean {
    for (let at = this.starts[cell]!; at < this.ends[cell]!; at++) if (this.bytes[at]! > 32) return false;
    return true;
  }

  private widenCells(): void {
    const [starts, ends] = [new Int32Array(this.starts.length * 2), new Int32Array(this.starts.length * 2)];
    starts.set(this.starts);
    ends.set(this.ends);
    [this.starts, this.ends] = [starts, ends];
  }

  private widenRows(): void {
    const firstCell = new Int32Array(this.firstCell.length * 2);
    const lines = new Uint32Array(firstCell.length);
    firstCell.set(this.firstCell);
    lines.set(this.lines);
    [this.firstCell, this.lines] = [firstCell, lines];
  }
}

/** Rows that the full parser made. */
export class ParsedCells implements CellBlock {
  readonly rows: number;
  constructor(
    private readonly cells: readonly (readonly string[])[],
    private readonly lines: readonly number[],
    private readonly decimal: Decimal,
  ) {
    this.rows = cells.length;
  }
  line = (row: number): number => this.lines[row]!;
  width = (row: number): number => this.cells[row]!.length;
  text = (row: number, column: number): string => (this.cells[row]![column] ?? '').trim();
  number(row: number, column: number): number {
    return numberOf(this.cells[row]![column] ?? '', this.decimal);
  }
}
