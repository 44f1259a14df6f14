/** What commands print with `--json`, as schemas: the published JSON Schema is made from here, and tests hold the output to it. */
import * as z from 'zod';
import { checkSchema } from './output/check.ts';
import { harvestSchema } from './output/harvest.ts';
import { studySchema } from './output/study.ts';
import { traceSchema } from './output/trace.ts';

const SCHEMAS = { check: checkSchema, study: studySchema, trace: traceSchema, harvest: harvestSchema };

/** The published JSON Schema of a command's output. */
export function outputJsonSchema(which: keyof typeof SCHEMAS): unknown {
  return z.toJSONSchema(SCHEMAS[which], { unrepresentable: 'any' });
}
