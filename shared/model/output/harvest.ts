/** What `harvest --json` prints. */
import * as z from 'zod';
import { range } from './values.ts';

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
      /** Where its numbers stand for `working`: `<path>/falls`. */
      path: z.string(),
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
          /** Where its numbers stand for `working`: `<path>/ridesIn`. */
          path: z.string(),
          field: z.string(),
          name: z.string(),
          crop: z.string(),
          is: z.enum(['clean', 'traces', 'not looked', 'infested', 'heavily infested']),
          weed: z.string().nullable(),
          infestedFraction: z.number().nullable(),
          ripeFrom: z.string().nullable(),
          way: z.strictObject({ distanceM: z.number(), isTyped: z.boolean() }).nullable(),
          /** Before it; what they left aboard is in none of these numbers. */
          afterUnlooked: z.array(namedField),
          ridesIn: range,
          takenOut: range,
          falls: range,
          ownAboard: range,
          cleanOut: cleanOutKind.nullable(),
          cleanOutSaid: z.boolean(),
          fromWorse: z.boolean(),
          isAfterUnlooked: z.boolean(),
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
