/**
 * A formula is an object: shown numbers are made through it, so that their working cannot drift from the code.
 * A figure is one shown number (or range): its path in the study's JSON, its formula and its inputs in each case.
 */
import { type Case, CASES, foldCases, type Range, UNKNOWN_RANGE } from '../model/range.ts';

export interface Formula {
  readonly id: string;
  /** What it gives, in the science's words. */
  readonly gives: string;
  /** As printed: "L · Y · A / 10 000". */
  readonly text: string;
  readonly unit: string;
  /** symbol → meaning and unit. */
  readonly symbols: Readonly<Record<string, { readonly means: string; readonly unit: string }>>;
  /** Key of agronomy/sources.ts, or a section of the methods in words. */
  readonly source: string;
  compute(inputs: Readonly<Record<string, number>>): number;
}

/** Where an input comes from: another figure's path, or words ("7 quadrats of round-2026"). */
export interface Input {
  readonly value: number | null;
  readonly from: { readonly path: string } | { readonly parameter: string } | { readonly words: string };
}

export interface Figure {
  readonly path: string;
  readonly formula: string;
  readonly unit: string;
  readonly range: Range;
  /** One set of inputs a case; a figure without cases has only `central`. */
  readonly inputs: Readonly<Partial<Record<Case, Readonly<Record<string, Input>>>>>;
  /** Parameters behind a map that was summed: named, since the sum cannot be redone from a few numbers. */
  readonly behind: readonly string[];
  readonly notes: readonly string[];
}

type InputsOf = Readonly<Record<string, Input>>;

export class FigureBook {
  private readonly byPath = new Map<string, Figure>();
  private readonly others: FigureBook[] = [];

  /** A number without cases. */
  exact(
    path: string,
    formula: Formula,
    inputs: InputsOf,
    more: { behind?: readonly string[]; notes?: readonly string[] } = {},
  ): number | null {
    const value = evaluate(formula, inputs);
    const range = value === null ? UNKNOWN_RANGE : { low: value, central: value, high: value };
    this.keep({
      path,
      formula: formula.id,
      unit: formula.unit,
      range,
      inputs: { central: inputs },
      behind: more.behind ?? [],
      notes: more.notes ?? [],
    });
    return value;
  }

  /** A number in three cases, folded by minimum and maximum. */
  range(
    path: string,
    formula: Formula,
    inputs: (which: Case) => InputsOf,
    more: { behind?: readonly string[]; notes?: readonly string[] } = {},
  ): Range {
    const byCase = Object.fromEntries(CASES.map((which) => [which, inputs(which)])) as Record<Case, InputsOf>;
    const range = foldCases({
      mild: evaluate(formula, byCase.mild),
      central: evaluate(formula, byCase.central),
      harsh: evaluate(formula, byCase.harsh),
    });
    this.keep({
      path,
      formula: formula.id,
      unit: formula.unit,
      range,
      inputs: byCase,
      behind: more.behind ?? [],
      notes: more.notes ?? [],
    });
    return range;
  }

  /** Takes the figures of another book in; their paths must be others. */
  include(book: FigureBook): void {
    this.others.push(book);
  }

  get(path: string): Figure | null {
    const mine = this.byPath.get(path);
    if (mine) return mine;
    for (const one of this.others) {
      const found = one.get(path);
      if (found) return found;
    }
    return null;
  }

  paths(): string[] {
    return [...this.byPath.keys(), ...this.others.flatMap((one) => one.paths())];
  }

  private keep(figure: Figure): void {
    if (this.byPath.has(figure.path)) throw new Error(`FigureBook: ${figure.path} is made twice`);
    this.byPath.set(figure.path, figure);
  }
}

function evaluate(formula: Formula, inputs: InputsOf): number | null {
  const numbers: Record<string, number> = {};
  for (const [symbol, input] of Object.entries(inputs)) {
    if (!formula.symbols[symbol] && !formula.symbols[`${symbol.replace(/_.*$/, '')}_t`]) {
      throw new Error(`formula ${formula.id} has no symbol ${symbol}`);
    }
    if (input.value === null) return null;
    numbers[symbol] = input.value;
  }
  return formula.compute(numbers);
}
