/** What the study says of a weed's variogram: how far likeness reaches, and how well the stops foretell each other. */
import type { TriedVariogram, VariogramTold } from '../agronomy/variogram-told.ts';
import type { Case, Range } from '../model/range.ts';
import { UNKNOWN_RANGE } from '../model/range.ts';
import { type VariogramKind, practicalRangeM } from '../statistics/variogram-model.ts';
import type { FigureBook } from './formula.ts';
import { FORMULAS } from './formulas.ts';

export interface VariogramLine extends Omit<VariogramTold, 'practicalRangeM' | 'leftOut' | 'crossValidation'> {
  /** Most likely by the chosen model, least and most by the others; not known where the curve is flat. */
  readonly practicalRangeM: Range;
  readonly leftOut: {
    readonly stops: number;
    /** Stops at or above the threshold by their own counts. */
    readonly above: number;
    readonly withPlants: number;
    /** Stops that the others put on the right side of the threshold. */
    readonly sameSide: number;
    /** How many times too many or too few the guess is, geometric mean over the stops with plants; null where there is none. */
    readonly factor: number | null;
    readonly guessAtEmptyPerM2: number | null;
    /** Share of the differences between stops that their neighbors explain; below 0 where they mislead. */
    readonly explainedFraction: number;
    readonly meanSquaredZ: number;
    readonly within80Fraction: number;
    readonly doubts: readonly string[];
  };
}

export const MODEL_NAMES: Readonly<Record<VariogramKind, string>> = {
  exponential: 'exponential',
  spherical: 'spherical',
  matern32: 'Matérn 3/2',
  gaussian: 'Gaussian',
};

/** @param at path of the weed's line */
export function variogramLine(at: string, told: VariogramTold, figures: FigureBook): VariogramLine {
  const { practicalRangeM: _chosen, leftOut, crossValidation, ...rest } = told;
  const from = { words: `${leftOut.stops} stops, each left out and guessed from the others by ordinary kriging` };
  const path = `${at}/leftOut`;
  const notes = [
    'Kriging of log(1 + plants/m²), a second method beside the map’s, from the same counts; the guess is the median.',
    ...leftOut.doubts,
  ];
  const exact = (name: string, formula: (typeof FORMULAS)[keyof typeof FORMULAS], values: Record<string, number>) =>
    figures.exact(
      `${path}/${name}`,
      formula,
      Object.fromEntries(Object.entries(values).map(([symbol, value]) => [symbol, { value, from }])),
      { notes },
    )!;
  return {
    ...rest,
    practicalRangeM: practicalRange(at, told, figures),
    groundMeanPerM2: figures.exact(`${at}/groundMeanPerM2`, FORMULAS.groundMean, {
      D: {
        value: told.groundMeanPerM2,
        from: { words: `${told.places} places, the ${MODEL_NAMES[told.model.kind]} model of their variogram` },
      },
    }),
    leftOut: {
      stops: leftOut.stops,
      above: leftOut.above,
      withPlants: leftOut.withPlants,
      sameSide: exact('sameSide', FORMULAS.leftOutSameSide, { N_above: leftOut.bothAbove, N_below: leftOut.bothBelow }),
      factor:
        leftOut.withPlants === 0
          ? null
          : exact('factor', FORMULAS.leftOutFactor, { S: leftOut.logMissSum, m: leftOut.withPlants }),
      guessAtEmptyPerM2: leftOut.guessAtEmptyPerM2,
      explainedFraction: exact('explainedFraction', FORMULAS.leftOutExplained, {
        E_neighbors: leftOut.squaresByNeighbors,
        E_mean: leftOut.squaresByMean,
      }),
      meanSquaredZ: crossValidation.meanSquaredZ,
      within80Fraction: crossValidation.within80Fraction,
      doubts: leftOut.doubts,
    },
  };
}

function practicalRange(at: string, told: VariogramTold, figures: FigureBook): Range {
  if (told.practicalRangeM === null) return UNKNOWN_RANGE;
  const byRange = told.tried
    .filter((one) => one.practicalRangeM !== null)
    .sort((a, b) => a.practicalRangeM! - b.practicalRangeM!);
  const of: Record<Case, TriedVariogram> = { mild: byRange[0]!, central: told, harsh: byRange.at(-1)! };
  return figures.range(
    `${at}/practicalRangeM`,
    FORMULAS.practicalRange,
    (which) => {
      const { model } = of[which];
      const from = { words: `fitted to ${told.lags.pairs.length} lags; ${whichModel(which)}` };
      return {
        f: { value: practicalRangeM({ kind: model.kind, rangeM: 1 }), from: { words: 'by the model' } },
        a: { value: model.rangeM, from },
      };
    },
    { notes: modelNotes(told) },
  );
}

function whichModel(which: Case): string {
  return which === 'central'
    ? 'the chosen model'
    : `the model with the ${which === 'mild' ? 'shortest' : 'longest'} range`;
}

/** The chosen model with the reason, then the fit of each. */
function modelNotes(told: VariogramTold): string[] {
  const chosen = `${MODEL_NAMES[told.model.kind]} was chosen: of the ${told.tried.length} models fitted it foretells stops left out best (largest mean log score). The range is what the other models would say, no confidence interval.`;
  return [
    chosen,
    ...told.tried.map((one) => {
      const { kind, nugget, partialSill } = one.model;
      const range =
        one.practicalRangeM === null
          ? 'no range'
          : `practical range ${three(one.practicalRangeM)} m${one.rangeAtLimit ? ' (at the end of what was tried)' : ''}`;
      return `${MODEL_NAMES[kind]}: nugget ${three(nugget)}, sill ${three(nugget + partialSill)}, ${range}, weighted sum of squares ${three(one.weightedSquares)}, log score ${three(one.crossValidation.logScore)}, mean squared z ${three(one.crossValidation.meanSquaredZ)}.`;
    }),
    ...(told.places < told.ofPlaces
      ? [`From ${told.places} of ${told.ofPlaces} places, drawn by lot: all pairs of all would take too long.`]
      : []),
  ];
}

function three(value: number): string {
  return String(Number(value.toPrecision(3)));
}
