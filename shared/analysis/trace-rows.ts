/** A trace as the rows of a table: what became of the seed, where on other fields it fell, and how near to the ground it stayed. */
import type { Farm } from '../model/farm.ts';
import { fieldOf } from '../model/lookups.ts';
import { type Range, UNKNOWN_RANGE } from '../model/range.ts';
import { capital } from '../units/words.ts';
import type { ToldTrace } from './seed-trace.ts';
import { partWords } from './trace-words.ts';

export interface TraceRow {
  readonly is: 'whole' | 'part' | 'of what rode on' | 'by distance';
  readonly words: string;
  /** The other field, where there is one. */
  readonly field: string | null;
  /** Of a row by distance: from the ground itself outward, cumulated. */
  readonly withinM: number | null;
  readonly share: Range;
  /** Unknown where the share alone is told. */
  readonly seeds: Range;
}

const WHOLE: Range = { low: 1, central: 1, high: 1 };

export function traceRows(trace: ToldTrace, farm: Farm): TraceRow[] {
  const { way, name } = trace;
  const nameOf = (field: string | null) => (field === null ? null : fieldOf(farm, field).name);
  const verb = way === 'to' ? 'Grew' : 'Came down';
  return [
    {
      is: 'whole',
      words: way === 'to' ? 'All that lies on the ground' : 'All that grew on the ground',
      field: null,
      withinM: null,
      share: trace.seeds.central === null || trace.seeds.high === 0 ? UNKNOWN_RANGE : WHOLE,
      seeds: trace.seeds,
    },
    ...trace.parts.map((part): TraceRow => ({
      is: 'part',
      words: capital(partWords(trace, part, farm)),
      field: nameOf(part.field),
      withinM: null,
      share: part.share,
      seeds: part.seeds,
    })),
    ...trace.fellOn.map((one): TraceRow => ({
      is: 'of what rode on',
      words: `Came down on ${nameOf(one.field)}`,
      field: nameOf(one.field),
      withinM: null,
      share: one.share,
      seeds: UNKNOWN_RANGE,
    })),
    ...trace.within.map((one): TraceRow => ({
      is: 'by distance',
      words: `${verb} on ${name} so near to the ground`,
      field: null,
      withinM: one.distanceM,
      share: one.share,
      seeds: UNKNOWN_RANGE,
    })),
  ];
}
