/** What `trace --json` prints: seed followed from some ground, or back from it. */
import * as z from 'zod';
import { range } from './values.ts';

const degrees = z.tuple([z.number(), z.number()]);

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
