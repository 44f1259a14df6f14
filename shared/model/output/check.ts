/** What `check --json` prints. */
import * as z from 'zod';
import { bounds, problem } from './values.ts';

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
