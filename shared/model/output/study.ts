/** What `study --json` prints. */
import * as z from 'zod';
import { ownLoss } from './own-loss.ts';
import { problem, range } from './values.ts';
import { variogram } from './variogram.ts';

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

const fieldStudy = z.strictObject({
  id: z.string(),
  name: z.string(),
  evidence: z.enum(['a', 'b', 'c', 'd', 'e']),
  evidenceIs: z.string(),
  /** Rounds that looked here only after the field was cut. */
  afterHarvest: z.array(z.strictObject({ id: z.string(), from: z.string(), to: z.string() })),
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
