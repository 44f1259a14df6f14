/** Problems of one file, those alike together, each row reachable. */
import type { Problem } from '../../../shared/model/problem.ts';

export interface ProblemGroup {
  readonly level: Problem['level'];
  readonly text: string;
  readonly hint: string | null;
  /** How often it was met. */
  readonly count: number;
  /** The others of the first twenty, in words. */
  readonly more: readonly string[];
  /** Rows or features it was met in, each once, in order. */
  readonly rows: readonly number[];
  /** True where more rows were met than are listed. */
  readonly isCutShort: boolean;
}

const LEVELS = ['error', 'warning', 'note'] as const;
const CLOSING = /^(\d+) more like this: /;

/** Errors first, then what was met most often. */
export function problemGroups(problems: readonly Problem[]): ProblemGroup[] {
  const byCode = new Map<string, Problem[]>();
  for (const one of problems) {
    const key = `${one.level} ${one.code}`;
    byCode.set(key, [...(byCode.get(key) ?? []), one]);
  }
  return [...byCode.values()]
    .map(groupOf)
    .sort((a, b) => LEVELS.indexOf(a.level) - LEVELS.indexOf(b.level) || b.count - a.count);
}

function groupOf(problems: readonly Problem[]): ProblemGroup {
  const told = problems.filter((one) => !CLOSING.test(one.text));
  const closing = problems.find((one) => CLOSING.test(one.text));
  const further = Number(closing ? CLOSING.exec(closing.text)![1] : 0);
  const first = told[0] ?? closing!;
  const listed = closing?.where?.rows ?? [];
  const rows = told.flatMap((one) => one.where?.row ?? one.where?.feature ?? []).concat(listed);
  return {
    level: first.level,
    text: first.text,
    hint: hintHere(first),
    count: told.length + further,
    more: told.slice(1).map((one) => one.text),
    rows: [...new Set(rows)].sort((a, b) => a - b),
    isCutShort: rows.length > 0 && further > listed.length,
  };
}

/** Hints name options of the command line in brackets, and wishes as they are typed there: here there is a control for each. */
export function hintHere({ code, hint }: Problem): string | null {
  if (code === 'kind-unknown') return 'If it is a record, say above what it is. Else there is nothing to do.';
  if (hint === undefined) return null;
  return hint
    .replace(/ \(--[^)]*\)/g, '')
    .replace(/(?:\b\w+ = )?"=([^"]*)"|\b\w+ = "([^"]*)"/g, (_, one, other) => `“${one ?? other}”`);
}
