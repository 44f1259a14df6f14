/**
 * The two kinds of failure: what a person's file or drawing can cause is a value (`Problem`, `Outcome`);
 * what only a programmer can cause throws. Plain objects: they cross the worker and print on a terminal.
 */

/** Where a problem stands. `row` counts from 1 and includes the header line; `feature` counts from 1. */
export interface Place {
  file?: string;
  row?: number;
  column?: string;
  feature?: number;
  id?: string;
  at?: readonly [number, number];
}

export interface Problem {
  /** Stable kebab-case word for programs: `column-missing`. */
  readonly code: string;
  readonly level: 'error' | 'warning' | 'note';
  /** One sentence that a grower understands, with the value seen. */
  readonly text: string;
  readonly where?: Place;
  /** What to do. */
  readonly hint?: string;
}

export type Outcome<T> =
  | { readonly ok: true; readonly value: T; readonly problems: readonly Problem[] }
  | { readonly ok: false; readonly problems: readonly Problem[] };

export function done<T>(value: T, problems: readonly Problem[] = []): Outcome<T> {
  return { ok: true, value, problems };
}

export function refused(...problems: Problem[]): { readonly ok: false; readonly problems: readonly Problem[] } {
  return { ok: false, problems };
}

export function problem(
  level: Problem['level'],
  code: string,
  text: string,
  more: { where?: Place; hint?: string } = {},
): Problem {
  return { code, level, text, ...more };
}

/**
 * Gathers problems but keeps at most `limit` of one code; the rest are counted in one closing note,
 * so that a log with 50 000 bad cells stays readable and nothing goes untold.
 */
export class ProblemList {
  private readonly kept: Problem[] = [];
  private readonly counts = new Map<string, number>();
  constructor(private readonly limit = 20) {}

  add(one: Problem): void {
    const count = (this.counts.get(one.code) ?? 0) + 1;
    this.counts.set(one.code, count);
    if (count <= this.limit) this.kept.push(one);
  }

  addAll(many: readonly Problem[]): void {
    for (const one of many) this.add(one);
  }

  list(): Problem[] {
    const closing: Problem[] = [];
    for (const [code, count] of this.counts) {
      if (count <= this.limit) continue;
      const like = this.kept.find((one) => one.code === code)!;
      closing.push({
        code,
        level: like.level,
        text: `${count - this.limit} more like this: ${like.text}`,
        ...(like.where?.file === undefined ? {} : { where: { file: like.where.file } }),
      });
    }
    return [...this.kept, ...closing];
  }
}
