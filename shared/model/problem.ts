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
  /** Of a closing note ("80 more like this"): the further rows, at most `MOST_ROWS_LISTED`. */
  rows?: readonly number[];
}

export const MOST_ROWS_LISTED = 10_000;

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
 * Gathers problems but keeps at most `limit` of one code; the rest are counted in one closing note with their rows,
 * so that a log with 50 000 bad cells stays readable and nothing goes untold.
 */
export class ProblemList {
  private readonly kept: Problem[] = [];
  private readonly counts = new Map<string, number>();
  private readonly further = new Map<string, number[]>();
  constructor(private readonly limit = 20) {}

  add(one: Problem): void {
    const count = (this.counts.get(one.code) ?? 0) + 1;
    this.counts.set(one.code, count);
    if (count <= this.limit) this.kept.push(one);
    else if (one.where?.row !== undefined) this.note(one.code, one.where.row);
  }

  private note(code: string, row: number): void {
    const rows = this.further.get(code);
    if (!rows) this.further.set(code, [row]);
    else if (rows.length < MOST_ROWS_LISTED && rows.at(-1) !== row) rows.push(row);
  }

  addAll(many: readonly Problem[]): void {
    for (const one of many) this.add(one);
  }

  list(): Problem[] {
    const closing: Problem[] = [];
    for (const [code, count] of this.counts) {
      if (count <= this.limit) continue;
      const like = this.kept.find((one) => one.code === code)!;
      const rows = this.further.get(code);
      closing.push({
        code,
        level: like.level,
        text: `${count - this.limit} more like this: ${like.text}`,
        ...(like.where?.file === undefined && !rows
          ? {}
          : {
              where: {
                ...(like.where?.file === undefined ? {} : { file: like.where.file }),
                ...(rows ? { rows } : {}),
              },
            }),
      });
    }
    return [...this.kept, ...closing];
  }
}
