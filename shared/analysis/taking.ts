/** What the takers of every kind of file share: the farm as it is, the file, and the words for what cannot be placed. */
import { createFrame, type Frame, frameOriginOf } from '../geometry/local-frame.ts';
import { polygonBounds, toLocalPolygon } from '../geometry/polygon.ts';
import type { Bounds, FlatMultiPolygon, LonLat, MultiPolygon } from '../geometry/types.ts';
import type { ReadFile, ReadingWishes } from '../import/importer.ts';
import type { Edit } from '../model/edit.ts';
import type { Farm, FarmFile } from '../model/farm.ts';
import { type Problem, problem } from '../model/problem.ts';
import { counted } from '../units/words.ts';

/** A file as the person gave it, already read. */
export interface IncomingFile {
  readonly name: string;
  readonly sha256: string;
  readonly bytes: number;
  readonly parts: readonly { readonly name: string; readonly sha256: string; readonly bytes: number }[];
  readonly read: ReadFile;
  readonly wishes: ReadingWishes;
}

export interface Context {
  readonly farm: Farm;
  readonly incoming: IncomingFile;
  readonly fileId: string;
  /** The files that came with it, as the document will name them. */
  readonly parts: readonly FarmFile[];
  readonly problems: Problem[];
}

/** null where nothing was taken: the context's problems say why. */
export type Taken = { summary: string; sets: Edit['sets'] } | null;

export type Inside = (within: FlatMultiPolygon, frame: Frame) => boolean;

/**
 * How many of the farm's fields hold places of a file; null where none does, told. Before the boundaries are in, anything is
 * kept: 0, told.
 */
export function fieldsOfFile({ farm, incoming, problems }: Context, inside: Inside): number | null {
  const where = { file: incoming.name };
  if (farm.fields.length === 0) {
    problems.push(
      problem('note', 'no-fields-yet', `${incoming.name} is kept, but the farm has no fields yet to place it in.`, {
        where,
        hint: 'Add the boundaries.',
      }),
    );
    return 0;
  }
  const found = farm.fields.filter((field) => {
    const frame = createFrame(frameOriginOf(boundsOf(field.boundary as MultiPolygon)));
    return inside(toLocalPolygon(frame, field.boundary as MultiPolygon), frame);
  });
  if (found.length > 0) return found.length;
  problems.push(
    problem('error', 'outside-all-fields', `Nothing in ${incoming.name} lies in one of the farm's fields.`, {
      where,
      hint: 'Check its coordinates, or add the boundaries of its fields first.',
    }),
  );
  return null;
}

/** " on 9 fields"; nothing where the fields are not known yet. */
export const onFields = (fields: number) => (fields === 0 ? '' : ` on ${counted(fields, 'field')}`);

/** A local frame serves some tens of kilometers; nothing of a field lies a degree away. */
export function near(at: LonLat, { origin }: Frame): boolean {
  return Math.abs(at[0] - origin[0]) <= 1 && Math.abs(at[1] - origin[1]) <= 1;
}

/** None of a table's rows names a field of the farm: each was told. */
export function nothingPlaced({ farm, incoming, problems }: Context): null {
  if (farm.fields.length > 0) return null;
  problems.length = 0;
  problems.push(
    problem('error', 'no-fields-yet', `${incoming.name} names fields, but the farm has none yet.`, {
      where: { file: incoming.name },
      hint: 'Add the boundaries first.',
    }),
  );
  return null;
}

export function unknownField(file: string, name: string, row: number): Problem {
  return problem('error', 'field-unknown', `Row ${row}: the farm has no field (or more than one) named "${name}".`, {
    where: { file, row },
    hint: 'Add its boundary first, or write the name as the boundary has it.',
  });
}

export function boundsOf(polygon: MultiPolygon): Bounds {
  const corners = polygon.flat(2);
  return polygonBounds([[Float64Array.from(corners.flat())]]);
}
