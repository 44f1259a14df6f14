/**
 * The document: the only thing that an edit changes (farm.json). Everything else is an attachment or derived from both.
 * SI units; days are ISO 8601; shares are 0–1. The JSON Schema that is published (docs of the format) is made from this file.
 */
import * as z from 'zod';
import { COHORTS, CONTROL_RATINGS } from './farm-words.ts';
import { LIFTABLE_FLAGS } from './log-flags.ts';
import { FILE_KINDS } from './records.ts';

const id = z
  .string()
  .min(1)
  .max(64)
  .regex(/^[\p{L}\p{N}._-]+$/u, 'letters, digits, dot, dash and underscore');
const day = z.string().regex(/^\d{4}-\d{2}-\d{2}$/, 'a day as YYYY-MM-DD');
const year = z.int().min(1900).max(2200);
const share = z.number().min(0).max(1);
const positive = z.number().positive();
const atLeastZero = z.number().nonnegative();
const lonLat = z.tuple([z.number().min(-360).max(360), z.number().min(-90).max(90)]);
const multiPolygon = z.array(z.array(z.array(lonLat).min(4)).min(1));

const columnReading = z.object({
  column: z.string(),
  unit: z.string().optional(),
  because: z.string(),
  by: z.enum(['guess', 'person']),
});

export const fileSchema = z.object({
  id,
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  name: z.string(),
  bytes: z.int().nonnegative(),
  kind: z.enum([...FILE_KINDS, 'part', 'photo']),
  /** Loose parts of one shapefile, by file id; the file itself is the .shp. */
  parts: z.array(id).optional(),
  reading: z.object({
    importer: z.string(),
    crs: z.string().optional(),
    utcOffsetMinutes: z.number().optional(),
    rowSpacingM: positive.optional(),
    walkedWidthM: positive.optional(),
    as: z.string().optional(),
    columns: z.record(z.string(), columnReading),
  }),
});

const exclusion = z.object({ id, kind: z.string(), area: multiPolygon, bufferM: atLeastZero });

export const fieldSchema = z.object({
  id,
  name: z.string().min(1),
  ours: z.boolean(),
  leaseEnds: year.optional(),
  soilClass: z.string().optional(),
  frameOrigin: lonLat,
  boundary: multiPolygon,
  exclusions: z.array(exclusion),
  /** The file and feature that the boundary came from. */
  from: z.object({ file: id, feature: z.int().positive() }).optional(),
});

const neighborPlace = { id, kind: z.enum(['home', 'sensitive-crop', 'hives', 'water', 'other']), note: z.string() };
const neighbor = z.union([
  z.object({ ...neighborPlace, area: multiPolygon }),
  z.object({ ...neighborPlace, at: lonLat }),
]);

export const machineSchema = z.object({
  id,
  kind: z.enum(['combine', 'sprayer', 'other']),
  name: z.string().optional(),
  headerWidthM: positive.optional(),
  antennaForwardM: z.number().optional(),
  chaffWidthM: positive.optional(),
  strawWidthM: positive.optional(),
  residue: z.enum(['spread', 'chaff-line', 'impact-mill']).optional(),
  boom: z
    .object({
      widthM: positive,
      sections: z.int().positive(),
      delayOnS: atLeastZero,
      delayOffS: atLeastZero,
      lookAheadS: atLeastZero,
    })
    .optional(),
  tankL: positive.optional(),
  arrivesDirty: z.boolean().optional(),
});

const cropSeason = z.object({
  field: id,
  crop: id,
  /** Ingredients and groups that the crop stands; a hand-off is refused where this is not stated. */
  tolerates: z.union([z.array(z.string()), z.literal('not stated')]),
  plantedOn: day.nullable(),
  emergedOn: day.optional(),
  matureOn: day.optional(),
  rowSpacingM: positive.nullable(),
  tillage: z.enum(['no-till', 'tilled', 'not stated']),
  expectedYieldKgHa: positive.nullable(),
});

export const visitSchema = z.object({
  id,
  field: id,
  machine: id,
  file: id.optional(),
  /** The file is of several fields: what lies on this one is its harvest. */
  part: z.literal(true).optional(),
  startedOn: day.optional(),
  headingDeg: z.number().optional(),
  /** Laps around the field before its strips, where the path is assumed. */
  headlandLaps: z.int().min(0).max(4).optional(),
  scaleTotalKg: positive.optional(),
  /** Of the grain from the cutter bar to the sensor, as the person knows it. */
  flowDelayS: atLeastZero.max(60).optional(),
  /** Records of the log with these flags count as if they were sound. */
  liftedFlags: z.array(z.enum(LIFTABLE_FLAGS)).optional(),
  cleanOutBefore: z.enum(['limited', 'thorough']).optional(),
  /** False says that it is still to be cut although a log is at hand. */
  done: z.boolean().optional(),
  /** The how-manieth field it was ticked off as, where no day is known. */
  cutAs: z.int().positive().optional(),
  /** From when on it can be cut: a field that is ripe later never comes before one that is ripe earlier. */
  ripeFrom: day.optional(),
});

/** What cutting in another order and cleaning the combine out costs, as the person typed it. */
export const harvestCostsSchema = z.object({
  /** Machine, crew and what waits for them, money an hour. */
  costPerHour: positive.optional(),
  limitedMin: positive.optional(),
  thoroughMin: positive.optional(),
  /** On the road between fields; without it ways are not counted. */
  roadSpeedMS: positive.optional(),
  /** Ways longer than the straight line; `from` null is the yard. */
  roads: z.array(z.object({ from: id.nullable(), to: id, distanceM: positive })).optional(),
});

/** What a machine carried when it came to its first field of the season; none said: clean is assumed. */
export const arrivalSchema = z.object({
  machine: id,
  load: z.union([
    z.enum(['clean', 'unknown']),
    /** It came from a field with these weeds. */
    z.object({ infestedWith: z.array(id).min(1) }),
    z.object({ seeds: z.record(id, atLeastZero) }),
  ]),
});

const spraying = z.object({
  where: z.object({ field: id }),
  on: day,
  parts: z.array(z.object({ ingredient: z.string().min(1), rateFraction: atLeastZero })).min(1),
  reentryHours: atLeastZero.optional(),
  rainMm: atLeastZero.optional(),
});

const sighting = z.object({
  field: id,
  species: id,
  on: day,
  what: z.enum(['first emergence', 'tallest']),
  heightMm: positive.optional(),
});

export const seasonSchema = z.object({
  year,
  weather: z.array(id),
  /** Money a kg. */
  prices: z.record(id, atLeastZero),
  crops: z.array(cropSeason),
  visits: z.array(visitSchema),
  arrivals: z.array(arrivalSchema).optional(),
  sprayed: z.array(spraying),
  sightings: z.array(sighting),
});

const ratingWord = z.enum(['not looked', 'none seen', 'few', 'patches', 'throughout']);
/** What a count of plants may be: exact, seen or not, or a lower bound. */
export const countSchema = z.union([
  atLeastZero,
  z.object({ present: z.boolean() }),
  z.object({ atLeast: atLeastZero }),
]);
export const alongRowSchema = z.object({ lengthM: positive, spacingM: positive });
/** What the document and field notes (model/field-notes.ts) say alike of a find. */
export const findMembers = {
  at: lonLat,
  on: day,
  species: id,
  count: countSchema,
  heightMm: atLeastZero.optional(),
  /** How good the position is, as the device said. */
  accuracyM: positive.optional(),
  note: z.string().max(500).optional(),
};
export const findId = id;
export const instant = z.string().regex(/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}Z$/, 'an instant as YYYY-MM-DDThh:mm:ssZ');
const observation = z.object({
  ...findMembers,
  effortM2: positive,
  /** The ground as it was measured, where it was a length of row; its product is `effortM2`. */
  alongRow: alongRowSchema.optional(),
  /** Of a find marked in the field: by this it is known again wherever it is brought. */
  id: id.optional(),
  time: instant.optional(),
  /** The file that is the picture. */
  photo: id.optional(),
});
const drawnPatch = z.object({
  field: id,
  species: id,
  area: multiPolygon,
  density: z.union([z.enum(['thin', 'medium', 'thick']), z.object({ perM2: positive })]),
});

export const roundSchema = z.object({
  id,
  season: year,
  from: day,
  to: day,
  files: z.array(id),
  typed: z.array(observation),
  patches: z.array(drawnPatch),
  ratings: z.array(z.object({ field: id, species: id, rating: ratingWord })),
});

const correction = z.object({
  file: id,
  row: z.int().positive(),
  column: z.string(),
  was: z.string(),
  now: z.string(),
  because: z.string(),
});

/** What the person typed from the label. Nothing here is ever proposed by the tool. */
export const productSchema = z.object({
  id,
  name: z.string().min(1),
  parts: z.array(z.object({ ingredient: z.string().min(1), group: z.string(), gPerUnit: positive })).min(1),
  form: z.enum(['liquid', 'dry']),
  /** The unit that rates are given in, per area: "L/ha", "kg/ha", "fl oz/ac". */
  unit: z.string(),
  label: z.object({
    full: positive,
    low: positive.optional(),
    high: positive.optional(),
    seasonMax: positive.optional(),
    bufferM: atLeastZero.optional(),
    reentryHours: atLeastZero.optional(),
    preHarvestDays: atLeastZero.optional(),
    plantBack: z.record(id, atLeastZero).optional(),
    latestCropStage: z.string().optional(),
    carrierLHaMin: positive.optional(),
    droplet: z.string().optional(),
    maxWeedHeightMm: positive.optional(),
  }),
  costPerUnit: atLeastZero.optional(),
});

const controlRating = z.enum(CONTROL_RATINGS);

export const passSchema = z.object({
  id,
  timing: z.enum([
    'burndown',
    'pre-emergence',
    'early post-emergence',
    'post-emergence',
    'late post-emergence',
    'harvest',
    'fall',
  ]),
  means: z.enum(['residual', 'post', 'cultivation', 'cover crop', 'hand removal', 'impact mill', 'chaff line']),
  /** `group`: site of action where no product of the farm tells it. */
  parts: z.array(
    z.object({ ingredient: z.string().min(1), rateFraction: atLeastZero, group: z.string().min(1).optional() }),
  ),
  /** Days from planting to the pass; negative is before planting. */
  daysFromPlanting: z.number(),
  /** The person's rating from their state's guide, per cohort. */
  control: z.partialRecord(z.enum(COHORTS), controlRating),
  /** Ratings of single weeds where the guide gives them their own; they replace `control` for that weed. */
  controlOf: z.record(id, z.partialRecord(z.enum(COHORTS), controlRating)).default({}),
  /** Money a hectare; null: not told, and money is then not compared. */
  costPerHa: atLeastZero.nullable(),
  /** 'zones': only where the weed is; else the whole field. */
  where: z.enum(['field', 'zones']).default('field'),
  /** Crops the pass is for; empty means any. */
  crops: z.array(id).default([]),
});

export const programSchema = z.object({
  id,
  name: z.string().min(1),
  /** True: ratings are a pattern to start from (assumed), not yet the person's from their state's guide. */
  assumed: z.boolean().default(false),
  passes: z.array(passSchema),
});

const zoneSet = z.object({
  id,
  field: id,
  season: year,
  rules: z
    .object({
      level: share,
      minWidthM: positive,
      minAreaM2: atLeastZero,
      bufferM: atLeastZero,
      unknownIsInfested: z.boolean(),
    })
    .nullable(),
  zones: z.array(z.object({ id, letter: z.string(), area: multiPolygon, species: id.optional() })),
});

const choice = z.object({
  season: year,
  target: z.union([z.object({ field: id }), z.object({ zone: id })]),
  program: id,
  rates: z.array(
    z.object({
      pass: id,
      product: id,
      perArea: positive,
      unit: z.string(),
      rateMeans: z.enum(['spray volume', 'product']),
    }),
  ),
  /** How each pass goes out, as the person ordered it. */
  orders: z
    .array(
      z.object({
        pass: id,
        where: z.enum(['zones', 'field']),
        /** Spray volume in the zones; null for a dry product. */
        volumeLHa: positive.nullable(),
        /** What the ground outside the zones gets, as a share of the zones' rate; 0: nothing. */
        outsideFraction: atLeastZero,
        positionLost: z.enum(['nothing', 'outside rate', 'zone rate']),
      }),
    )
    .optional(),
});

export const ownValueSchema = z.object({
  parameter: z.string(),
  value: z.number(),
  low: z.number(),
  high: z.number(),
  because: z.string(),
});

export const farmSchema = z.object({
  schema: z.literal(1),
  id,
  name: z.string().min(1),
  /** True for the sample farm: said on every screen and order. */
  invented: z.boolean(),
  note: z.string().optional(),
  seed: z.int().nonnegative(),
  display: z.enum(['us', 'metric']),
  currency: z.string(),
  utcOffsetMinutes: z.number().min(-900).max(900),
  yard: lonLat.optional(),
  files: z.array(fileSchema),
  fields: z.array(fieldSchema),
  neighbors: z.array(neighbor),
  machines: z.array(machineSchema),
  seasons: z.array(seasonSchema),
  rounds: z.array(roundSchema),
  corrections: z.array(correction),
  products: z.array(productSchema),
  programs: z.array(programSchema),
  zoneSets: z.array(zoneSet),
  plan: z.array(choice),
  scenarios: z.array(z.object({ id, name: z.string(), plan: z.array(choice) })),
  thresholdPerM2: z.record(id, positive),
  population: z.record(id, z.record(z.string(), z.enum(['works', 'doubtful', 'fails']))),
  planning: z.object({
    horizonYears: z.int().min(3).max(10),
    discountFraction: share,
    budget: atLeastZero.nullable(),
    hours: positive.optional(),
    sprayDays: positive.optional(),
    mustTreat: z.array(id),
    harvest: harvestCostsSchema.optional(),
  }),
  ownValues: z.array(ownValueSchema),
  trials: z.array(z.unknown()),
  forecasts: z.array(z.unknown()),
});

/** The published JSON Schema of the document. */
export function farmJsonSchema(): unknown {
  return z.toJSONSchema(farmSchema, { io: 'input', unrepresentable: 'any' });
}

export type Farm = z.infer<typeof farmSchema>;
export type FarmFile = z.infer<typeof fileSchema>;
export type Field = z.infer<typeof fieldSchema>;
export type Machine = z.infer<typeof machineSchema>;
export type Season = z.infer<typeof seasonSchema>;
export type Arrival = z.infer<typeof arrivalSchema>;
export type HarvestCosts = z.infer<typeof harvestCostsSchema>;
export type CropSeason = Season['crops'][number];
export type Round = z.infer<typeof roundSchema>;
export type Product = z.infer<typeof productSchema>;
export type Program = z.infer<typeof programSchema>;
export type Pass = z.infer<typeof passSchema>;
export type Cohort = (typeof COHORTS)[number];
export type ControlRating = (typeof CONTROL_RATINGS)[number];
export type Choice = z.infer<typeof choice>;
export type PassOrder = NonNullable<Choice['orders']>[number];
export type Scenario = Farm['scenarios'][number];
export type OwnValue = z.infer<typeof ownValueSchema>;
