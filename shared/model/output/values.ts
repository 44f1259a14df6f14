/** What several commands print alike. */
import * as z from 'zod';

export const range = z.union([
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
export const problem = z.strictObject({
  code: z.string(),
  level: z.enum(['error', 'warning', 'note']),
  text: z.string(),
  where: place.optional(),
  hint: z.string().optional(),
});
/** West, south, east, north, degrees on WGS 84. */
export const bounds = z.tuple([z.number(), z.number(), z.number(), z.number()]);
