/** The command line as a function: words in, exit code out; the host lends disk and terminal. */
import { COMMON_OPTIONS, parseArguments } from './arguments.ts';
import type { Command, ExitCode } from './command.ts';
import { addCommand } from './commands/add.ts';
import { changesCommand } from './commands/changes.ts';
import { checkCommand } from './commands/check.ts';
import { harvestCommand } from './commands/harvest.ts';
import { newCommand } from './commands/new.ts';
import { orderCommand } from './commands/order.ts';
import { sampleCommand } from './commands/sample.ts';
import { schemaCommand } from './commands/schema.ts';
import { setCommand } from './commands/set.ts';
import { stopsCommand } from './commands/stops.ts';
import { studyCommand } from './commands/study.ts';
import { traceCommand } from './commands/trace.ts';
import { workingCommand } from './commands/working.ts';
import { zonesCommand } from './commands/zones.ts';
import type { Host } from './host.ts';
import { paragraph } from './print.ts';
import { capital } from '../../shared/units/words.ts';

export const commands: readonly Command[] = [
  checkCommand,
  newCommand,
  addCommand,
  setCommand,
  studyCommand,
  stopsCommand,
  changesCommand,
  traceCommand,
  harvestCommand,
  zonesCommand,
  orderCommand,
  workingCommand,
  sampleCommand,
  schemaCommand,
];

export function run(args: readonly string[], host: Host): ExitCode {
  const [first, ...rest] = args;
  const asked = first === 'help' ? rest[0] : first;
  if (asked === undefined || asked === '--help' || asked === '-h') {
    host.out(overview());
    return first === undefined ? 2 : 0;
  }
  const command = commands.find((one) => one.name === asked);
  if (!command) {
    host.err(`There is no command "${asked}". Commands: ${commands.map((one) => one.name).join(', ')}.\n`);
    return 2;
  }
  if (first === 'help') {
    host.out(usage(command) + help(command));
    return 0;
  }
  const parsed = parseArguments(rest, [...command.options, ...COMMON_OPTIONS]);
  if ('wrong' in parsed) {
    host.err(`${parsed.wrong}\n${usage(command)}`);
    return 2;
  }
  if (parsed.options['help']) {
    host.out(usage(command) + help(command));
    return 0;
  }
  const [least, most] = command.takes;
  if (parsed.words.length < least || parsed.words.length > most) {
    host.err(`${usage(command)}More: seedfall ${command.name} --help\n`);
    return 2;
  }
  return command.run({ ...parsed, host, json: parsed.options['json'] !== undefined });
}

function usage(command: Command): string {
  return `Usage: seedfall ${command.name} ${command.words} [OPTIONS]\n`;
}

function help(command: Command): string {
  const lines = [...command.options, ...COMMON_OPTIONS].map((one) =>
    entry(`--${one.name}${one.value === undefined ? '' : ` ${one.value}`}`, one.help),
  );
  const summary = `${capital(command.summary)}.`;
  const examples = (command.examples ?? []).map((one) => `  seedfall ${one}\n`).join('');
  return `\n${paragraph(summary)}${paragraph(command.more)}\nOptions\n${lines.join('')}${examples && `\nExamples\n${examples}`}`;
}

function overview(): string {
  const lines = commands.map((one) => entry(`${one.name} ${one.words}`, one.summary));
  return (
    'Seedfall: keep weed seed out of the soil, on every field, for several years.\n\n' +
    `${lines.join('')}\n` +
    paragraph('FARM is a farm folder or a farm file (.zip). Every command has --help and --json.') +
    paragraph(
      'Text for people goes to stdout, problems to stderr. Exit code: 0 done, 1 done but something was refused, 2 could not.',
    ) +
    '\n' +
    paragraph(
      'Estimates are for planning: biology varies several-fold by place and year. The product label is the law.',
    )
  );
}

const ENTRY_WIDTH = 26;

/** "  --out DIR    what it does", later lines under the first. */
function entry(word: string, text: string): string {
  const indent = ' '.repeat(ENTRY_WIDTH + 3);
  const folded = paragraph(`${'.'.repeat(ENTRY_WIDTH + 2)} ${text}`, indent).slice(indent.length);
  const name = `  ${word}`;
  return name.length > ENTRY_WIDTH + 2 ? `${name}\n${indent}${folded}` : name.padEnd(indent.length) + folded;
}
