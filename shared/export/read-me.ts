/** The text that goes with files for a machine: what is in them, in which units, and what must be said beside them. */
import type { Problem } from '../model/problem.ts';
import { UNITS } from '../units/units.ts';
import type { PrescriptionColumn } from './prescription.ts';

export interface ReadMeInput {
  readonly title: string;
  readonly invented: boolean;
  /** Sentences above the columns: what the files are for, what happens outside the zones. */
  readonly lines: readonly string[];
  readonly files: readonly string[];
  readonly columns: readonly PrescriptionColumn[];
  /** What the format could not carry. */
  readonly notes: readonly Problem[];
  readonly readBack: string;
  readonly cautions: readonly string[];
}

const WIDTH = 78;

/** Lines end as Windows wants them, since the screens of machines and office computers show them alike. */
export function readMe(input: ReadMeInput): string {
  const wide = Math.max(...input.columns.map((one) => one.name.length));
  const blocks = [
    [input.title, '='.repeat(Math.min(WIDTH, input.title.length))],
    input.invented ? wrapped('THIS FARM IS INVENTED: never follow these files on real ground.') : [],
    input.lines.flatMap((line) => wrapped(line)),
    ['Files', ...input.files.map((name) => `  ${name}`)],
    wrapped('Places are in degrees on WGS 84 (EPSG:4326). What each column holds:'),
    input.columns.map(({ name, means, unit }) => {
      const symbol = unit === null ? '' : ` (${UNITS[unit].symbol || unit})`;
      return `  ${name.padEnd(wide)}  ${means}${symbol}`;
    }),
    input.notes.flatMap((one) => wrapped(`- ${one.text}`, '  ')),
    wrapped(input.readBack),
    ['CAUTIONS', ...input.cautions.flatMap((one) => wrapped(`- ${one}`, '  '))],
  ];
  return `${blocks
    .filter((block) => block.length > 0)
    .map((block) => block.join('\r\n'))
    .join('\r\n\r\n')}\r\n`;
}

function wrapped(text: string, indent = ''): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/\s+/)) {
    if (line !== '' && line.length + 1 + word.length > WIDTH) {
      lines.push(line);
      line = `${indent}${word}`;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  return [...lines, line];
}
