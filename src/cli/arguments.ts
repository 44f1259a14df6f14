/** A command's words: options declared once serve parsing, help and errors. */
export interface OptionSpec {
  readonly name: string;
  /** What stands for the value in the help; absent: a switch. */
  readonly value?: string;
  readonly many?: boolean;
  readonly help: string;
}

export interface Parsed {
  readonly words: readonly string[];
  readonly options: Readonly<Record<string, readonly string[]>>;
}

export const COMMON_OPTIONS: readonly OptionSpec[] = [
  { name: 'json', help: 'machine-readable output on stdout' },
  { name: 'help', help: 'this text' },
];

/** Words and options, or the sentence that says what is wrong with them. */
export function parseArguments(
  args: readonly string[],
  specs: readonly OptionSpec[],
): Parsed | { readonly wrong: string } {
  const words: string[] = [];
  const options: Record<string, string[]> = {};
  for (let i = 0; i < args.length; i++) {
    const arg = args[i] === '-h' ? '--help' : args[i]!;
    if (!arg.startsWith('--') || arg === '--') {
      if (arg !== '--') words.push(arg);
      continue;
    }
    const [name, inline] = splitOnce(arg.slice(2), '=');
    const spec = specs.find((one) => one.name === name);
    if (!spec) return { wrong: `There is no option --${name}.` };
    if (spec.value === undefined) {
      if (inline !== null) return { wrong: `--${name} takes no value.` };
      options[name] = ['yes'];
      continue;
    }
    const next = args[i + 1];
    const value = inline ?? (next?.startsWith('--') ? undefined : next);
    if (inline === null) i++;
    if (value === undefined) return { wrong: `--${name} needs a value: --${name} ${spec.value}.` };
    if (!spec.many && options[name]) return { wrong: `--${name} is given twice.` };
    (options[name] ??= []).push(value);
  }
  return { words, options };
}

/** "flow=lb/s" as a pair; null where there is no equals sign. */
export function pairOf(text: string): readonly [string, string] | null {
  const [left, right] = splitOnce(text, '=');
  return right === null || left === '' || right === '' ? null : [left, right];
}

function splitOnce(text: string, at: string): [string, string | null] {
  const index = text.indexOf(at);
  return index < 0 ? [text, null] : [text.slice(0, index), text.slice(index + 1)];
}
