/** How a text table is written: separator, decimal mark, line end, where its header stands, whether units follow. */
import { done, problem, refused } from '../model/problem.ts';
import type { Outcome, Problem } from '../model/problem.ts';
import { isMissing, numberOf } from './number-text.ts';
import type { Decimal } from './number-text.ts';
import { isUnitText } from './unit-words.ts';

export interface Dialect {
  readonly delimiter: string;
  readonly lineEnd: 10 | 13;
  readonly decimal: Decimal;
  readonly header: readonly string[];
  readonly units: readonly string[] | null;
  /** Line of the first data row. */
  readonly dataLine: number;
  readonly sample: readonly (readonly string[])[];
}

export interface ParsedRows {
  readonly rows: readonly (readonly string[])[];
  readonly lines: readonly number[];
  readonly faults: readonly { code: string; line: number }[];
}

type Parse = (
  text: string,
  dialect: Pick<Dialect, 'delimiter' | 'lineEnd'>,
  firstLine: number,
  preview?: number,
) => ParsedRows;

const DELIMITERS: readonly (readonly [string, string])[] = [
  [',', 'comma'],
  [';', 'semicolon'],
  ['\t', 'tab'],
  ['|', 'bar'],
];
const COMMA_NUMBER = /^[+-]?\d+,\d+$/;
const POINT_NUMBER = /^[+-]?\d*\.\d+$/;

function commonWidth(rows: readonly (readonly string[])[]): { width: number; share: number } {
  const counts = new Map<number, number>();
  for (const row of rows) counts.set(row.length, (counts.get(row.length) ?? 0) + 1);
  let width = 0;
  let most = 0;
  for (const [cells, count] of counts)
    if (count > most || (count === most && cells > width)) [width, most] = [cells, count];
  return { width, share: rows.length === 0 ? 0 : most / rows.length };
}

function isNumeric(cell: string): boolean {
  return !Number.isNaN(numberOf(cell, 46)) || !Number.isNaN(numberOf(cell, 44));
}

/** The separator that cuts most rows into the same number (more than one) of cells. */
function findDelimiter(text: string, lineEnd: 10 | 13, parse: Parse): string | null {
  let best: { delimiter: string; score: number } | null = null;
  for (const [delimiter] of DELIMITERS) {
    const { rows } = parse(text, { delimiter, lineEnd }, 1, 60);
    const { width, share } = commonWidth(rows);
    if (width < 2) continue;
    const score = share + Math.min(width, 20) / 1000;
    if (!best || score > best.score) best = { delimiter, score };
  }
  return best?.delimiter ?? null;
}

export function findDialect(text: string, file: string, parse: Parse): Outcome<Dialect> {
  const where = { file };
  const lineEnd = !text.includes('\n') && text.includes('\r') ? 13 : 10;
  const delimiter = findDelimiter(text.slice(0, 1 << 15), lineEnd, parse);
  if (delimiter === null) {
    const start = text.trim().slice(0, 60).replace(/\s+/g, ' ');
    return refused(
      problem(
        'error',
        'no-table',
        start === ''
          ? `${file} holds only blank lines.`
          : `${file} is no table: no comma, semicolon, tab or bar separates columns ("${start}…").`,
        {
          where,
          hint: 'Save it as CSV with a header row.',
        },
      ),
    );
  }
  const notes: Problem[] = [];
  if (delimiter !== ',') {
    const name = DELIMITERS.find(([one]) => one === delimiter)![1];
    notes.push(problem('note', 'separator', `Columns are separated by ${name}s.`, { where }));
  }
  const { rows, lines } = parse(text, { delimiter, lineEnd }, 1);
  const { width } = commonWidth(rows.slice(0, 60));

  let at = 0;
  while (at < rows.length && isPreface(rows[at]!, width)) at++;
  if (at >= rows.length) at = 0;
  const skipped = lines[at]! - 1;
  if (skipped > 0) {
    notes.push(
      problem(
        'note',
        'lines-skipped',
        `${skipped} line${skipped === 1 ? '' : 's'} above the header ${skipped === 1 ? 'was' : 'were'} skipped.`,
        { where: { file, row: 1 } },
      ),
    );
  }

  const numbersIn = (row: readonly string[]) => row.filter((cell) => cell.trim() !== '' && isNumeric(cell)).length;
  const named = numbersIn(rows[at]!) === 0 || numbersIn(rows[at]!) < numbersIn(rows[at + 1] ?? []) / 2;
  let header: string[];
  if (named) header = rows[at]!.map((cell, i) => cell.trim() || `column ${i + 1}`);
  else {
    header = rows[at]!.map((_, i) => `column ${i + 1}`);
    notes.push(
      problem(
        'warning',
        'no-header',
        `${file} has no header row: its columns are called "column 1" to "column ${header.length}".`,
        {
          where: { file, row: lines[at]! },
          hint: 'Say which column is which.',
        },
      ),
    );
  }
  while (header.length > width && /^column \d+$/.test(header.at(-1)!)) header.pop();
  const twice = header.filter((name, i) => header.indexOf(name) < i);
  if (twice.length > 0) {
    const text = `Two columns are called "${twice[0]!}"; a person who names it gets the first.`;
    notes.push(problem('note', 'header-twice', text, { where: { file, row: lines[at]!, column: twice[0]! } }));
  }
  let next = named ? at + 1 : at;
  let units: string[] | null = null;
  const second = rows[next];
  if (named && second && isUnitRow(second)) {
    units = second.map((cell) => cell.trim());
    notes.push(
      problem('note', 'unit-row', `Row ${lines[next]!} holds units, not data.`, { where: { file, row: lines[next]! } }),
    );
    next++;
  }
  const sample = rows.slice(next);
  const decimal = findDecimal(sample, delimiter);
  if (decimal.comma) {
    notes.push(
      problem(decimal.sure ? 'note' : 'warning', 'decimal-comma', `Numbers have a decimal comma ("${decimal.seen}").`, {
        where,
        ...(decimal.sure
          ? {}
          : { hint: 'If the comma parts thousands, the numbers are 1000 times too small: export without it.' }),
      }),
    );
  }
  const dataLine = next < rows.length ? lines[next]! : lines.at(-1)! + 1_000_000_000;
  return done({ delimiter, lineEnd, decimal: decimal.comma ? 44 : 46, header, units, dataLine, sample }, notes);
}

/** Comment lines, titles and blank lines above the header. */
function isPreface(row: readonly string[], width: number): boolean {
  const filled = row.filter((cell) => cell.trim() !== '').length;
  return /^\s*(#|\/\/)/.test(row[0]!) || filled === 0 || (filled === 1 && width > 1) || row.length < Math.min(width, 2);
}

function isUnitRow(row: readonly string[]): boolean {
  const filled = row.filter((cell) => cell.trim() !== '');
  if (filled.some((cell) => isNumeric(cell))) return false;
  const units = filled.filter((cell) => isUnitText(cell) || /^[[(].*[\])]$/.test(cell.trim())).length;
  return units >= 1 && units >= filled.length / 2;
}

function findDecimal(
  rows: readonly (readonly string[])[],
  delimiter: string,
): { comma: boolean; sure: boolean; seen: string } {
  let commas = 0;
  let points = 0;
  let sure = false;
  let seen = '';
  for (const row of rows.slice(0, 500)) {
    for (const raw of row) {
      const cell = raw.trim();
      if (isMissing(cell)) continue;
      if (COMMA_NUMBER.test(cell)) {
        commas++;
        seen ||= cell;
        if (!/,\d{3}$/.test(cell)) sure = true;
      } else if (POINT_NUMBER.test(cell)) points++;
    }
  }
  const comma = commas > 0 && commas > points && (sure || delimiter !== ',');
  return { comma, sure, seen };
}
