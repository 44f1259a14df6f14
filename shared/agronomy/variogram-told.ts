/** A variogram as it is kept with a map: its points, its curve, the models that lost, and how well stops foretell each other. */
import type { CrossValidation } from '../statistics/cross-validation.ts';
import type { JudgedVariogram } from '../statistics/variogram-choice.ts';
import { practicalRangeM, type VariogramModel } from '../statistics/variogram-model.ts';
import { groundMeanPerM2 } from './ground-mean.ts';
import { type LeftOut, leftOutCheck } from './left-out.ts';
import type { DensityVariogram, FieldGrid } from './surface-methods.ts';

/** One model as fitted and judged. */
export interface TriedVariogram {
  readonly model: VariogramModel;
  /** Where 95 % of the sill is reached (all of it, spherical), m; null where the curve is flat and has no range. */
  readonly practicalRangeM: number | null;
  readonly weightedSquares: number;
  /** The fitted range lies at the end of what was tried: the distances do not hold it. */
  readonly rangeAtLimit: boolean;
  readonly crossValidation: CrossValidation;
}

/** γ is of log(1 + plants/m²), lags nearest first. */
export interface VariogramTold extends TriedVariogram {
  readonly lags: {
    readonly pairs: readonly number[];
    readonly distanceM: readonly number[];
    readonly gamma: readonly number[];
    /** By Cressie and Hawkins: outliers weigh less. */
    readonly robustGamma: readonly number[];
  };
  readonly cutoffM: number;
  /** Half the mean squared difference of two places picked blindly. */
  readonly gammaOfAll: number;
  /** Share of the places where nothing was found; above a half the robust points fall towards 0. */
  readonly emptyFraction: number;
  /** null: neighbors are alike. Else why they are not. */
  readonly noStructure: string | null;
  /** Every model tried, the chosen one among them. */
  readonly tried: readonly TriedVariogram[];
  /** Places it was made from, and how many there are. */
  readonly places: number;
  readonly ofPlaces: number;
  readonly leftOut: LeftOut;
  /** Mean density with each place weighed by the ground it stands for; null above 1000 places. */
  readonly groundMeanPerM2: number | null;
}

interface TellInput extends FieldGrid {
  readonly cellAreaM2: Float64Array;
  readonly thresholdPerM2: number;
}

export function tellVariogram(
  variogram: DensityVariogram,
  { grid, inside, cellAreaM2, thresholdPerM2 }: TellInput,
): VariogramTold {
  const { empirical, used } = variogram;
  const places = used.densityPerM2.length;
  return {
    ...judged(variogram),
    lags: {
      pairs: Array.from(empirical.pairs),
      distanceM: Array.from(empirical.distanceM),
      gamma: Array.from(empirical.gamma),
      robustGamma: Array.from(variogram.robustGamma),
    },
    cutoffM: empirical.cutoffM,
    gammaOfAll: variogram.gammaOfAll,
    emptyFraction: used.densityPerM2.filter((one) => one === 0).length / places,
    noStructure: variogram.noStructure,
    tried: variogram.tried.map(judged),
    places,
    ofPlaces: used.of,
    leftOut: leftOutCheck(used, variogram.leftOut, variogram.crossValidation, thresholdPerM2),
    groundMeanPerM2: groundMeanPerM2({ grid, inside }, cellAreaM2, used, variogram.model),
  };
}

function judged({ model, weightedSquares, rangeAtLimit, crossValidation }: JudgedVariogram): TriedVariogram {
  return {
    model,
    practicalRangeM: model.partialSill > 0 ? practicalRangeM(model) : null,
    weightedSquares,
    rangeAtLimit,
    crossValidation,
  };
}
