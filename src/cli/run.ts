/** The command line as a function: words in, exit code out; the host lends disk and terminal. */
import { COMMON_OPTIONS, parseArguments } from './arguments.ts';
import type { Command, ExitCode } from './command.ts';
import { addCommand } from './commands/add.ts';
import { checkCommand } from './commands/check.ts';
import { newCommand } from './commands/new.ts';
import { orderCommand } from './commands/order.ts';
import { sampleCommand } from './commands/sample.ts';
import { schemaCommand } from './commands/schema.ts';
import { studyCommand } from './commands/study.ts';
import { workingCommand } from './commands/working.ts';
import { zonesCommand } from './commands/zones.ts';
import type { Host } from './host.ts';
import { paragraph } from './print.ts';

export const commands: readonly Command[] = [
  checkCommand,
  newCommand,
  addCommand,
  studyCommand,
  zonesCommand,
  orderCommand,
  workingCommand,
  sampleCommand,
  schemaCommand,
];

export function run(args: readonly string[], host: Host): ExitCode {
  const [name, ...rest] = args;
  if (name === undefined || name === '--help' || name === 'help') {
    host.out(overview());
    return name === undefined ? 2 : 0;
  }
  const command = commands.find((one) => one.name === name);
  if (!command) {
    host.err(`There is no command "${name}". Commands: ${commands.map((one) => one.name).join(', ')}.\n`);
    return 2;
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
    host.err(usage(command));
    return 2;
  }
  return command.run({ ...parsed, host, json: parsed.options['json'] !== undefined });
}

function usage(command: Command): string {
  return `Usage: seedfall ${command.name} ${command.words}\n`;
}

function help(command: Command): string {
  const lines = [...command.options, ...COMMON_OPTIONS].map(
    (one) => `  ${`--${one.name}${one.value === undefined ? '' : ` ${one.value}`}`.padEnd(28)} ${one.help}\n`,
  );
  return `\n${command.summary}\n\n${paragraph(command.more)}\nOptions\n${lines.join('')}`;
}

function overview(): string {
  const lines = commands.map((one) => `  ${`${one.name} ${one.words}`.padEnd(28)} ${one.summary}\n`);
  return (
    'Seedfall: keep weed seed out of the soil, on every field, for several years.\n\n' +
    `${lines.join('')}\n` +
    'FARM is a farm folder or a farm file (.zip). Every command has --help and --json.\n' +
    'Text for people goes to stdout, problems to stderr. Exit code: 0 done, 1 done but something was refused, 2 could not.\n\n' +
    'Estimates are for planning: biology varies several-fold by place and year. The product label is the law.\n'
  );
}
