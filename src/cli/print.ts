/** Text for people: tables that line up, paragraphs that fold, problems on stderr. */
import type { Problem } from '../../shared/model/problem.ts';
import type { Host } from './host.ts';

const WIDTH = 100;

export interface ColumnSpec {
  readonly title: string;
  readonly right?: boolean;
}

/** A table whose columns line up; the first line is the header. */
export function table(columns: readonly ColumnSpec[], rows: readonly (readonly string[])[]): string {
  const widths = columns.map((column, i) =>
    Math.max(lengthOf(column.title), ...rows.map((row) => lengthOf(row[i] ?? ''))),
  );
  const line = (cells: readonly string[]) =>
    cells
      .map((cell, i) => {
        const pad = ' '.repeat(Math.max(0, widths[i]! - lengthOf(cell)));
        return columns[i]!.right ? pad + cell : cell + pad;
      })
      .join('  ')
      .trimEnd();
  return [line(columns.map((one) => one.title)), ...rows.map(line)].map((one) => `  ${one}\n`).join('');
}

/** A paragraph folded at the terminal's width: its first line keeps the blanks it begins with, later lines are indented by `indent`. */
export function paragraph(text: string, indent = ''): string {
  const lines: string[] = [];
  const lead = /^ */.exec(text)![0];
  let line = '';
  for (const word of text.trim().split(/[ \n]+/)) {
    if (line !== '' && lengthOf(line) + 1 + lengthOf(word) > WIDTH) {
      lines.push(line);
      line = indent + word;
    } else line = line === '' ? lead + word : `${line} ${word}`;
  }
  return [...lines, line].join('\n') + '\n';
}

/** Problems on stderr, worst first, each with its place and what to do. */
export function printProblems(host: Host, problems: readonly Problem[]): void {
  const order = { error: 0, warning: 1, note: 2 };
  for (const one of [...problems].sort((a, b) => order[a.level] - order[b.level])) {
    const file = one.where?.file;
    const place = file !== undefined && !one.text.includes(file) ? `${file}: ` : '';
    host.err(paragraph(`${one.level}: ${place}${one.text}${one.hint === undefined ? '' : ` ${one.hint}`}`, '  '));
  }
}

export function printJson(host: Host, value: unknown): void {
  host.out(`${JSON.stringify(value, null, 2)}\n`);
}

function lengthOf(text: string): number {
  return [...text].length;
}
