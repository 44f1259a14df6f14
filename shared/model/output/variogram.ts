/** The likeness of counts by distance, as `study --json` prints it. */
import * as z from 'zod';
import { range } from './values.ts';

const variogramModel = z.strictObject({
  kind: z.enum(['exponential', 'spherical', 'matern32', 'gaussian']),
  nugget: z.number(),
  partialSill: z.number(),
  rangeM: z.number(),
});
/** Likeness of log(1 + plants/m²) by distance; metres. */
export const variogram = z.strictObject({
  model: variogramModel,
  practicalRangeM: range,
  weightedSquares: z.number(),
  rangeAtLimit: z.boolean(),
  lags: z.strictObject({
    pairs: z.array(z.int()),
    distanceM: z.array(z.number()),
    gamma: z.array(z.number()),
    robustGamma: z.array(z.number()),
  }),
  cutoffM: z.number(),
  gammaOfAll: z.number(),
  emptyFraction: z.number(),
  noStructure: z.string().nullable(),
  tried: z.array(
    z.strictObject({
      model: variogramModel,
      practicalRangeM: z.number().nullable(),
      weightedSquares: z.number(),
      rangeAtLimit: z.boolean(),
      crossValidation: z.strictObject({
        meanError: z.number(),
        rmse: z.number(),
        meanSquaredZ: z.number(),
        within80Fraction: z.number(),
        logScore: z.number(),
      }),
    }),
  ),
  places: z.int(),
  ofPlaces: z.int(),
  groundMeanPerM2: z.number().nullable(),
  leftOut: z.strictObject({
    stops: z.int(),
    above: z.int(),
    withPlants: z.int(),
    sameSide: z.int(),
    factor: z.number().nullable(),
    guessAtEmptyPerM2: z.number().nullable(),
    explainedFraction: z.number(),
    meanSquaredZ: z.number(),
    within80Fraction: z.number(),
    doubts: z.array(z.string()),
  }),
});
