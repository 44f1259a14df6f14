/** A field’s own loss curve, as `study --json` prints it. */
import * as z from 'zod';

/** An end is null where the records do not hold it. */
const openInterval = z.strictObject({ low: z.number().nullable(), high: z.number().nullable() });
const openRange = z.strictObject({ low: z.number().nullable(), central: z.number(), high: z.number().nullable() });
const lossCurve = z.strictObject({ weedFreeKgHa: z.number(), I: z.number(), A: z.number() });
/** I in per cent per (plant/m²), A in per cent; losses are shares. */
export const ownLoss = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('missing'), why: z.string() }),
  z.strictObject({
    kind: z.literal('fit'),
    crop: z.string(),
    round: z.strictObject({ id: z.string(), from: z.string(), to: z.string() }),
    reference: z.string(),
    weights: z.record(z.string(), z.number()),
    radiusM: z.number(),
    cellsMedian: z.number(),
    pairs: z.array(
      z.strictObject({
        xM: z.number(),
        yM: z.number(),
        densityPerM2: z.number(),
        yieldKgHa: z.number(),
        cells: z.int(),
      }),
    ),
    leftOut: z.strictObject({ notCounted: z.int(), notEveryWeed: z.int(), noYield: z.int() }),
    curve: lossCurve,
    ceilingFrom: z.enum(['records', 'literature']),
    interval80: z.strictObject({ I: openInterval, A: openInterval }),
    medianDensityPerM2: z.number(),
    lossFraction: openRange,
    literature: z.strictObject({
      curve: z.strictObject({ I: z.number(), A: z.number() }),
      lossFraction: z.strictObject({ low: z.number(), central: z.number(), high: z.number() }),
    }),
    residualSumOfSquares: z.number(),
    aic: z.number(),
    line: z.strictObject({ intercept: z.number(), slope: z.number(), aic: z.number() }),
    conditions: z.array(
      z.strictObject({
        id: z.enum(['pairs', 'above half loss', 'slope held', 'narrower', 'bends']),
        met: z.enum(['yes', 'no', 'A kept']),
        why: z.string(),
      }),
    ),
    used: z.boolean(),
    saying: z.string(),
    doubts: z.array(z.string()),
    confounders: z.array(z.string()),
  }),
]);
