/** A number's working as text and as data: formula, inputs with units, where each comes from, how sure it is. */
import { parameter, resolveParameter } from '../agronomy/parameter.ts';
import { citation, hasSource } from '../agronomy/sources.ts';
import type { Farm } from '../model/farm.ts';
import { type Case, CASES, type Range } from '../model/range.ts';
import type { FigureBook } from './formula.ts';
import { formulaById } from './formulas.ts';

export interface Working {
  readonly path: string;
  readonly gives: string;
  readonly formula: string;
  readonly unit: string;
  readonly source: string;
  readonly range: Range;
  readonly inputs: readonly {
    readonly symbol: string;
    readonly means: string;
    readonly unit: string;
    readonly byCase: Readonly<Partial<Record<Case, number | null>>>;
    readonly from: string;
    /** The working of the figure that it comes from. */
    readonly working?: Working;
  }[];
  readonly parameters: readonly {
    readonly id: string;
    readonly value: number;
    readonly low: number;
    readonly high: number;
    readonly unit: string;
    readonly mild: number;
    readonly harsh: number;
    readonly verified: string;
    readonly source: string;
    readonly note?: string;
    /** Where the science has no value for this id: whose value stands here, and why. */
    readonly takenOverFrom?: string;
    readonly own: boolean;
  }[];
  readonly notes: readonly string[];
}

/** null where no number has that path. */
export function workingOf(book: FigureBook, path: string, farm: Farm): Working | null {
  const figure = book.get(path);
  if (!figure) return null;
  const formula = formulaById.get(figure.formula)!;
  const any = figure.inputs.central ?? {};
  return {
    path,
    gives: formula.gives,
    formula: formula.text,
    unit: formula.unit,
    source: hasSource(formula.source) ? citation(formula.source) : formula.source,
    range: figure.range,
    inputs: Object.entries(any).map(([symbol, input]) => {
      const described = formula.symbols[symbol] ?? formula.symbols[`${symbol.replace(/_.*$/, '')}_t`]!;
      const from =
        'path' in input.from ? input.from.path : 'parameter' in input.from ? input.from.parameter : input.from.words;
      const deeper = 'path' in input.from ? workingOf(book, input.from.path, farm) : null;
      return {
        symbol,
        means: described.means,
        unit: described.unit,
        byCase: Object.fromEntries(
          CASES.flatMap((which) =>
            figure.inputs[which] ? [[which, figure.inputs[which][symbol]?.value ?? null]] : [],
          ),
        ),
        from,
        ...(deeper ? { working: deeper } : {}),
      };
    }),
    parameters: figure.behind.map((id) => {
      const one = parameter(id);
      const own = farm.ownValues.find((value) => value.parameter === id);
      return {
        id,
        value: own?.value ?? one.value,
        low: own?.low ?? one.low,
        high: own?.high ?? one.high,
        unit: one.unit,
        mild: resolveParameter(id, 'mild', own),
        harsh: resolveParameter(id, 'harsh', own),
        verified: one.verified,
        source: hasSource(one.source) ? citation(one.source) : one.source,
        ...(one.note === undefined ? {} : { note: one.note }),
        ...(one.borrowed === undefined ? {} : { takenOverFrom: `${one.borrowed.from}: ${one.borrowed.because}` }),
        own: own !== undefined,
      };
    }),
    notes: figure.notes,
  };
}
