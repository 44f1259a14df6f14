/** What a person is told about values of a harvest log that no sensor says. */
import type { Findings, Telling } from './harvest-findings.ts';
import { doubtsOf } from './log-doubts.ts';
import { spanText } from './span-text.ts';

export function tellDoubts({ input, path }: Findings, { note, warn }: Telling): void {
  const { log } = input;
  const all = doubtsOf(log, path);
  for (const code of ['flow-constant', 'header-stuck-up', 'header-stuck-down', 'standing'] as const) {
    const found = all.filter((one) => one.code === code);
    if (found.length === 0) continue;
    const longest = found.reduce((a, b) => (b.seconds > a.seconds ? b : a));
    const row = log.row[path.record[longest.at]!]!;
    const more = found.length === 1 ? '' : ` (the longest of ${found.length} such stretches)`;
    const from = `for ${spanText(longest.seconds)} from row ${row} on, ${longest.records} records${more}`;
    switch (code) {
      case 'flow-constant':
        warn(
          code,
          `The grain flow is ${longest.value.toFixed(2)} kg/s to the last digit ${from}: no sensor says that.`,
          'Yield there is a set value, not a measured one.',
          row,
        );
        break;
      case 'header-stuck-up':
        warn(
          code,
          `The header is up and grain flows as in the crop ${from}: the header's flag may stick.`,
          'Its ground counts as not cut. If it was cut, lift the flag.',
          row,
        );
        break;
      case 'header-stuck-down':
        warn(
          code,
          `The header stays down through turns ${from}: the header's flag may stick.`,
          'Turns and ways there count as cut.',
          row,
        );
        break;
      case 'standing':
        note(code, `The machine stands still ${from}.`, undefined, row);
    }
  }
}
