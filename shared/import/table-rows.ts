/** What all readers of tables share: cells as SI numbers, with every bad cell told and every missing one counted. */
import { problem } from '../model/problem.ts';
import type { Problem, ProblemList } from '../model/problem.ts';
import { UNITS } from '../units/units.ts';
import type { UnitId } from '../units/units.ts';
import type { FoundColumn } from './columns.ts';
import type { CellBlock } from './csv-cells.ts';
import { isMissing, numberOf } from './number-text.ts';

/** One column of numbers, read as SI. Missing cells are counted, text is told with its row. */
export class NumberColumn {
  missing = 0;
  unreadable = 0;
  private readonly index: number;
  private readonly factor: number;
  private readonly offset: number;
  private readonly constant: number;

  constructor(
    private readonly found: FoundColumn,
    private readonly title: string,
    private readonly file: string,
    private readonly problems: ProblemList,
  ) {
    this.index = found.index;
    const unit: { factor: number; offset?: number } =
      found.unit && found.unit !== 'bu/ac' ? UNITS[found.unit as UnitId] : { factor: 1 };
    this.factor = unit.factor;
    this.offset = unit.offset ?? 0;
    this.constant = found.constant === undefined ? NaN : numberOf(found.constant, 46) * this.factor + this.offset;
  }

  /** SI value, NaN where missing or unreadable. */
  read(cells: CellBlock, row: number): number {
    if (this.index < 0) return this.constant;
    const value = cells.number(row, this.index);
    if (value === value) return value * this.factor + this.offset;
    const text = cells.text(row, this.index);
    if (isMissing(text)) this.missing++;
    else {
      this.unreadable++;
      this.problems.add(
        problem(
          'warning',
          'not-a-number',
          `Row ${cells.line(row)}: ${this.title} is "${text.slice(0, 40)}", not a number.`,
          {
            where: { file: this.file, row: cells.line(row), column: this.found.column },
            hint: 'The value is left out; correct the cell or drop the row.',
          },
        ),
      );
    }
    return NaN;
  }

  /** One note for all missing cells, or nothing. */
  missingNote(rows: number): Problem[] {
    if (this.missing === 0) return [];
    return [
      problem('note', 'values-missing', `${this.title} is missing in ${this.missing} of ${rows} rows.`, {
        where: { file: this.file, column: this.found.column },
      }),
    ];
  }
}

/** Tells a row with more or fewer cells than the header. Empty cells at its end do not count. */
export function checkWidth(
  cells: CellBlock,
  row: number,
  header: readonly string[],
  file: string,
  problems: ProblemList,
): void {
  const width = cells.width(row);
  if (width === header.length) return;
  if (width > header.length) {
    let more = false;
    for (let column = header.length; column < width; column++) if (cells.text(row, column) !== '') more = true;
    if (!more) return;
  }
  problems.add(
    problem('warning', 'row-width', `Row ${cells.line(row)} has ${width} cells, the header has ${header.length}.`, {
      where: { file, row: cells.line(row) },
      hint: 'Look for a separator inside a cell or a row cut short.',
    }),
  );
}
