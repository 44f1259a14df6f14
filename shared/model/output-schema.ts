/** What `check --json`, `study --json` and `harvest --json` print, as schemas: the published JSON Schema is made from here, and a test holds the output to it. */
import * as z from 'zod';

const range = z.union([
  z.strictObject({ low: z.number(), central: z.number(), high: z.number() }),
  z.strictObject({ low: z.null(), central: z.null(), high: z.null() }),
]);
const place = z.strictObject({
  file: z.string().optional(),
  row: z.number().optional(),
  column: z.string().optional(),
  feature: z.number().optional(),
  id: z.string().optional(),
  at: z.tuple([z.number(), z.number()]).optional(),
  rows: z.array(z.number()).optional(),
});
const problem = z.strictObject({
  code: z.string(),
  level: z.enum(['error', 'warning', 'note']),
  text: z.string(),
  where: place.optional(),
  hint: z.string().optional(),
});
/** West, south, east, north, degrees on WGS 84. */
const bounds = z.tuple([z.number(), z.number(), z.number(), z.number()]);

const ledgerLines = z.strictObject({
  producedSeeds: z.number(),
  carriedInSeeds: z.number(),
  shedBeforeSeeds: z.number(),
  leftStandingSeeds: z.number(),
  headerLossSeeds: z.number(),
  landedByMachineSeeds: z.number(),
  landedOutsideSeeds: z.number(),
  grainTankSeeds: z.number(),
  destroyedSeeds: z.number(),
  leftInMachineSeeds: z.number(),
});

const variogramModel = z.strictObject({
  kind: z.enum(['exponential', 'spherical', 'matern32', 'gaussian']),
  nugget: z.number(),
  partialSill: z.number(),
  rangeM: z.number(),
});
/** Likeness of log(1 + plants/m²) by distance; metres. */
const variogram = z.strictObject({
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

/** An end is null where the records do not hold it. */
const openInterval = z.strictObject({ low: z.number().nullable(), high: z.number().nullable() });
const openRange = z.strictObject({ low: z.number().nullable(), central: z.number(), high: z.number().nullable() });
const lossCurve = z.strictObject({ weedFreeKgHa: z.number(), I: z.number(), A: z.number() });
/** I in per cent per (plant/m²), A in per cent; losses are shares. */
const ownLoss = z.discriminatedUnion('kind', [
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

const fieldStudy = z.strictObject({
  id: z.string(),
  name: z.string(),
  evidence: z.enum(['a', 'b', 'c', 'd', 'e']),
  evidenceIs: z.string(),
  tier: z.union([z.literal(1), z.literal(2), z.literal(3), z.null()]),
  rank: z.int().nullable(),
  rankByThisYear: z.int().nullable(),
  lookRank: z.int().nullable(),
  why: z.string(),
  areaM2: z.number(),
  unknownAreaM2: z.number(),
  infestedAreaM2: range,
  bySpecies: z.array(
    z.strictObject({
      species: z.string(),
      name: z.string(),
      basis: z.string(),
      method: z.string(),
      meanDensityPerM2: range,
      infestedAreaM2: range,
      unknownAreaM2: z.number(),
      places: z.int(),
      positives: z.int(),
      rangeIs: z.enum(['few finds', 'strips', 'clumped', 'plain', 'not settled']).nullable(),
      notes: z.array(z.string()),
      variogram: variogram.nullable(),
    }),
  ),
  crop: z.string().nullable(),
  cropFrom: z.string().nullable(),
  expectedYieldFrom: z.string().nullable(),
  yieldLossFraction: range,
  yieldLossKg: range,
  yieldLossMoney: range,
  ownLoss: ownLoss.nullable(),
  seedsProduced: range,
  seedsLandedInField: range,
  carriedIn: range,
  carriedOut: range,
  ledger: z.strictObject({ mild: ledgerLines, central: ledgerLines, harsh: ledgerLines }).nullable(),
  /** Seeds that the machine had aboard when it came to the farm, of those carried in. */
  arrived: z.strictObject({ mild: z.number(), central: z.number(), harsh: z.number() }).nullable(),
  harvest: z
    .strictObject({
      assumedPath: z.boolean(),
      records: z.int(),
      flagged: z.record(z.string(), z.int()),
      flowDelayS: z.number().nullable(),
      coveredAreaM2: z.number(),
      standardMassKg: z.number().nullable(),
      meanYieldKgHa: z.number().nullable(),
      headerWidthM: z.number(),
      headerWidthFrom: z.string(),
      directionShare: z.number().nullable(),
    })
    .nullable(),
  season: z
    .strictObject({
      bySpecies: z.array(
        z.strictObject({ species: z.string(), emergenceFrom: z.string().nullable(), uncoveredFraction: range }),
      ),
      cover: z.array(z.strictObject({ ingredient: z.string(), on: z.string(), rateFraction: z.number(), days: range })),
    })
    .nullable(),
  stake: range,
  stakePerHa: range,
  chosenProgram: z.string().nullable(),
  programs: z.array(
    z.strictObject({
      id: z.string(),
      compared: z.enum(['better', 'worse', 'the same', 'cannot tell']),
      gain: range,
      gainPerHa: range,
      costPerHa: range,
      seedbankPerM2ByYear: z.array(range),
    }),
  ),
  zones: z.array(
    z.strictObject({ id: z.string(), areaM2: z.number(), rank: z.int(), why: z.string(), area: z.array(z.unknown()) }),
  ),
  zonesTold: z.array(z.string()),
});

export const studySchema = z.strictObject({
  schema: z.literal(1),
  farm: z.strictObject({
    id: z.string(),
    name: z.string(),
    invented: z.boolean(),
    season: z.int().nullable(),
    areaM2: z.number(),
    currency: z.string(),
  }),
  summary: z.string(),
  summaryNumbers: z.array(z.strictObject({ text: z.string(), path: z.string() })),
  budget: z.strictObject({
    available: z.number().nullable(),
    spentPerYear: z.number().nullable(),
    gain: z.number().nullable(),
    gainBound: z.number().nullable(),
    exact: z.boolean().nullable(),
    horizonYears: z.int(),
    discountFraction: z.number(),
    curve: z.array(
      z.strictObject({
        budget: z.number(),
        spentPerYear: z.number().nullable(),
        gain: range,
        gainBound: z.number().nullable(),
        exact: z.boolean().nullable(),
        programs: z.record(z.string(), z.string()),
      }),
    ),
  }),
  fields: z.array(fieldStudy),
  disagreements: z.array(z.strictObject({ id: z.string(), rank: z.int(), rankByThisYear: z.int() })),
  problems: z.array(problem),
  steps: z.record(z.string(), z.strictObject({ ran: z.int(), reused: z.int() })),
});

const columnReading = z.strictObject({
  column: z.string(),
  unit: z.string().optional(),
  because: z.string(),
  by: z.enum(['guess', 'person']),
});
const everyFile = { file: z.string(), why: z.string(), problems: z.array(problem) };
const readFile = {
  ...everyFile,
  crs: z.string().optional(),
  columns: z.record(z.string(), columnReading),
  rows: z.int(),
  unusedRows: z.int(),
};
const areas = { features: z.int(), areaM2: z.number(), bounds: bounds.nullable(), names: z.array(z.string()) };

export const checkSchema = z.array(
  z.union([
    z.strictObject({ ...everyFile, takenFor: z.null() }),
    z.strictObject({ ...readFile, takenFor: z.literal('boundaries'), ...areas }),
    z.strictObject({ ...readFile, takenFor: z.literal('drawn patches'), ...areas }),
    z.strictObject({
      ...readFile,
      takenFor: z.literal('harvest log'),
      records: z.int(),
      flagged: z.record(z.string(), z.int()),
      flowDelayS: z.number(),
      flowDelayDecided: z.boolean(),
      flowDelayWhy: z.string(),
      coveredAreaM2: z.number(),
      standardMassKg: z.number().nullable(),
      meanYieldKgHa: z.number().nullable(),
      crop: z.string().nullable(),
      bounds,
      firstTime: z.string(),
      lastTime: z.string(),
      /** False where the log has no clock: its times are made from order and distance. */
      hasClock: z.boolean(),
    }),
    z.strictObject({
      ...readFile,
      takenFor: z.literal('scouting'),
      observations: z.int(),
      bySpecies: z.record(
        z.string(),
        z.strictObject({ observations: z.int(), withWeed: z.int(), effortM2: z.number() }),
      ),
      bounds,
      firstDay: z.string().nullable(),
      lastDay: z.string().nullable(),
    }),
    z.strictObject({ ...readFile, takenFor: z.literal('ratings'), ratings: z.int() }),
    z.strictObject({
      ...readFile,
      takenFor: z.literal('weather'),
      days: z.int(),
      station: z.string().nullable(),
      firstDay: z.string().nullable(),
      lastDay: z.string().nullable(),
    }),
    z.strictObject({ ...readFile, takenFor: z.literal('crops'), crops: z.int() }),
    z.strictObject({ ...readFile, takenFor: z.literal('sprayings'), sprayings: z.int() }),
    z.strictObject({
      ...readFile,
      takenFor: z.literal('track'),
      stretches: z.int(),
      lengthM: z.number(),
      waypoints: z.int(),
      stops: z.int(),
      widthM: z.number().nullable(),
      bounds,
      firstDay: z.string().nullable(),
      lastDay: z.string().nullable(),
    }),
  ]),
);

const degrees = z.tuple([z.number(), z.number()]);

/** What `trace --json` prints: seed followed from some ground, or back from it. */
export const traceSchema = z.strictObject({
  field: z.string(),
  season: z.int(),
  way: z.enum(['from', 'to']),
  ground: z.union([
    z.strictObject({ at: degrees, radiusM: z.number() }),
    z.strictObject({ area: z.array(z.array(z.array(degrees))) }),
  ]),
  name: z.string(),
  cells: z.int(),
  groundAreaM2: z.number(),
  seeds: range,
  parts: z.array(z.strictObject({ id: z.string(), field: z.string().nullable(), seeds: range, share: range })),
  within: z.array(z.strictObject({ distanceM: z.number(), share: range })),
  fellOn: z.array(z.strictObject({ field: z.string(), share: range })),
  assumedPath: z.boolean(),
  looked: z.boolean(),
  even: z.boolean(),
  orderKnown: z.boolean(),
});

const ends = z.strictObject({ low: z.number(), high: z.number() });
const cleanOutKind = z.enum(['limited', 'thorough']);
const perKind = <T extends z.ZodType>(of: T) => z.strictObject({ limited: of, thorough: of });
/** Present value of the yield that seed from other fields costs; money of clean-outs and ways. */
const orderCosts = z.strictObject({ seed: range, cleanOut: z.number(), travel: z.number() }).nullable();
const namedField = z.strictObject({ field: z.string(), name: z.string() });

/** Seeds are of all weeds together; money in the farm's currency, in mild, central and harsh biology. */
export const harvestSchema = z.strictObject({
  season: z.int(),
  currency: z.string(),
  costPerHour: z.number().nullable(),
  cleanOutMin: perKind(z.number().nullable()),
  reportedMin: perKind(ends),
  removedFraction: perKind(ends),
  roadSpeedMS: z.number().nullable(),
  machines: z.array(
    z.strictObject({
      machine: z.string(),
      name: z.string(),
      looks: z.enum(['ahead', 'back']),
      cut: z.array(namedField),
      leftOut: z.array(namedField),
      aboard: range,
      arrivesDirty: z.boolean(),
      by: z.enum(['class', 'cost']),
      whyNotMoney: z.string().nullable(),
      isExact: z.boolean(),
      cost: z.number().nullable(),
      bound: z.number().nullable(),
      costByClass: z.number().nullable(),
      fields: z.array(
        z.strictObject({
          field: z.string(),
          name: z.string(),
          crop: z.string(),
          is: z.enum(['clean', 'traces', 'not looked', 'infested', 'heavily infested']),
          weed: z.string().nullable(),
          infestedFraction: z.number().nullable(),
          ripeFrom: z.string().nullable(),
          way: z.strictObject({ distanceM: z.number(), isTyped: z.boolean() }).nullable(),
          ridesIn: range,
          takenOut: range,
          falls: range,
          ownAboard: range,
          cleanOut: cleanOutKind.nullable(),
          cleanOutSaid: z.boolean(),
          fromWorse: z.boolean(),
          stops: z.array(
            z.strictObject({
              kind: cleanOutKind,
              path: z.string(),
              seeds: range,
              money: range,
              breakEvenMin: range,
              minutes: z.number().nullable(),
              verdict: z.enum(['pays', 'may pay', 'does not pay']).nullable(),
            }),
          ),
        }),
      ),
      falls: range,
      costs: orderCosts,
      asCut: z.strictObject({ fields: z.array(z.string()), falls: range, costs: orderCosts }).nullable(),
    }),
  ),
  /** With --field: shares of its seed on the plants in the machine's way. */
  choices: z
    .strictObject({
      field: z.string(),
      residue: z.array(
        z.strictObject({
          id: z.enum(['spread', 'chaff-line', 'impact-mill', 'least header loss', 'most header loss']),
          isNow: z.boolean(),
          onGround: range,
          destroyed: range,
          inLines: range,
          lineGroundFraction: z.number().nullable(),
        }),
      ),
      patches: z
        .strictObject({
          areaM2: z.number(),
          ofField: z.number(),
          ofSeed: range,
          standingSeeds: range,
          cropKg: z.number().nullable(),
          cropMoney: z.number().nullable(),
        })
        .nullable(),
    })
    .nullable(),
});

const SCHEMAS = { check: checkSchema, study: studySchema, trace: traceSchema, harvest: harvestSchema };

/** The published JSON Schema of a command's output. */
export function outputJsonSchema(which: keyof typeof SCHEMAS): unknown {
  return z.toJSONSchema(SCHEMAS[which], { unrepresentable: 'any' });
}
