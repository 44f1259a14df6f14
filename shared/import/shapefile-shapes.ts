/**
 * The shapes of a shapefile: .shp records in order, .shx only to find the way again behind a damaged record.
 * Counts are checked against the bytes that are left before anything is allocated; a damaged record is refused alone.
 * @source Esri shapefile technical description, July 1998; reference/file-interop.
 */
import type { LonLat } from '../geometry/types.ts';
import { done, problem, refused, type Outcome, type Problem } from '../model/problem.ts';

/** Whether the first bytes are of a .shp that holds single points. */
export function holdsPoints(head: Uint8Array): boolean {
  if (head.length < HEADER) return false;
  const view = new DataView(head.buffer, head.byteOffset, head.byteLength);
  return view.getInt32(0) === 9994 && POINTS.has(view.getInt32(32, true));
}

/** One record's rings or lines, or why there are none. */
export type ShapeRecord =
  | { readonly kind: 'rings' | 'lines'; readonly rings: LonLat[][] }
  | { readonly kind: 'none' }
  | { readonly kind: 'refused'; readonly code: string; readonly what: string };

export interface Shapes {
  readonly records: readonly ShapeRecord[];
  /** Records that the index, or else the table, promises behind a cut. */
  readonly lost: number;
}

const HEADER = 100;
const TYPE_NAMES: Record<number, string> = {
  0: 'no shape',
  1: 'points',
  3: 'lines',
  5: 'polygons',
  8: 'sets of points',
  11: 'points',
  13: 'lines',
  15: 'polygons',
  18: 'sets of points',
  21: 'points',
  23: 'lines',
  25: 'polygons',
  28: 'sets of points',
  31: 'surfaces in space',
};
/** Shapes of one point: x and y follow the type. */
const POINTS = new Set([1, 11, 21]);
const POLYGONS = new Set([5, 15, 25]);
const LINES = new Set([3, 13, 23]);

/**
 * @param shp bytes of the .shp @param shx bytes of the .shx, or null @param tableRows rows of the .dbf, or null
 * @returns A refusal where there is no record to read: `file-empty`, `not-a-shapefile`, `file-ends-early`, `shape-type-other`.
 */
export function readShapes(
  shp: Uint8Array,
  shx: Uint8Array | null,
  tableRows: number | null,
  file: string,
): Outcome<Shapes> {
  const where = { file };
  if (shp.length === 0)
    return refused(problem('error', 'file-empty', 'The .shp is an empty file (0 bytes).', { where }));
  const view = new DataView(shp.buffer, shp.byteOffset, shp.byteLength);
  const magic = shp.length >= 4 ? view.getInt32(0) : 0;
  if (magic !== 9994) {
    return refused(
      problem('error', 'not-a-shapefile', `The first number of the .shp is ${magic}; a shapefile starts with 9994.`, {
        where,
      }),
    );
  }
  if (shp.length < HEADER) {
    return refused(
      problem('error', 'file-ends-early', `The .shp ends after ${shp.length} bytes, inside its header.`, { where }),
    );
  }
  const saidBytes = view.getInt32(24) * 2;
  const type = view.getInt32(32, true);
  if (!(type in TYPE_NAMES)) {
    return refused(
      problem('error', 'not-a-shapefile', `The .shp says shape type ${type}, which does not exist.`, { where }),
    );
  }
  const problems: Problem[] = [];
  const index = readIndex(shx, Math.max(shp.length, saidBytes), file, problems);
  const promised = index?.length ?? tableRows;

  if (shp.length === HEADER && (saidBytes > HEADER || (promised ?? 0) > 0)) {
    return refused(
      problem(
        'error',
        'file-ends-early',
        `The .shp ends after its header: no shapes, although it says ${saidBytes} bytes${promised ? ` and ${promised} shapes are listed beside it` : ''}.`,
        { where, hint: 'Copy or export it again.' },
      ),
    );
  }
  if (!POLYGONS.has(type) && !LINES.has(type) && type !== 0) {
    const many = promised === null ? '' : `${promised} `;
    return refused(
      problem(
        'error',
        'shape-type-other',
        `The shapefile holds ${many}${TYPE_NAMES[type]}, not polygons: no boundaries.`,
        {
          where,
          hint: /points/.test(TYPE_NAMES[type]!)
            ? 'Points are read as a log or as counts: bring in the .shp, .dbf and .prj by themselves.'
            : 'Export the boundaries as polygons.',
        },
      ),
    );
  }

  const records: ShapeRecord[] = [];
  let at = HEADER;
  let endsEarly = false;
  while (at < shp.length) {
    if (at >= saidBytes && saidBytes > HEADER && index !== null && records.length >= index.length) break;
    const left = shp.length - at - 8;
    const number = left >= 0 ? view.getInt32(at) : NaN;
    const bytes = left >= 0 ? view.getInt32(at + 4) * 2 : NaN;
    const isSound = number === records.length + 1 && bytes >= 4;
    if (!isSound && left >= 0) {
      const resumed = index?.[records.length];
      if (resumed !== undefined && resumed !== at && resumed + 12 <= shp.length) {
        at = resumed;
        continue;
      }
      const next = index?.[records.length + 1];
      if (next !== undefined && next > at && next + 12 <= shp.length) {
        records.push(damagedRecord(`has a damaged record header (number ${number}, ${bytes} bytes) and is left out`));
        at = next;
        continue;
      }
    }
    if (!isSound || bytes > left) {
      const next = index?.[records.length + 1];
      if (isSound && next !== undefined && next > at + 8 && next + 12 <= shp.length) {
        records.push(damagedRecord(`claims ${bytes} bytes, more than the file holds, and is left out`));
        at = next;
        continue;
      }
      endsEarly = true;
      break;
    }
    const record = readRecord(view, at + 8, bytes, type);
    // A length that lies leads astray: where the index knows better, follow it.
    const next = index?.[records.length + 1];
    const sequential = at + 8 + bytes;
    records.push(record);
    at =
      next !== undefined && next !== sequential && next > at && startsRecord(view, next, records.length + 1)
        ? next
        : sequential;
  }

  const lost = endsEarly
    ? Math.max(1, (promised ?? records.length + 1) - records.length)
    : missing(promised, index, records.length);
  if (endsEarly || lost > 0) {
    const of = promised === null ? '' : ` of ${promised}`;
    const text = `The .shp ends early: ${records.length}${of} shapes were read whole, ${promised === null ? 'at least ' : ''}${lost} ${lost === 1 ? 'is' : 'are'} lost.`;
    problems.push(problem('warning', 'file-ends-early', text, { where, hint: 'Copy or export it again.' }));
  } else if (saidBytes !== shp.length) {
    const text = `The header of the .shp says ${saidBytes} bytes, the file has ${shp.length}; all ${records.length} shapes were read.`;
    problems.push(problem('warning', 'header-length', text, { where }));
  }
  return done({ records, lost }, problems);
}

/** Shapes listed by a sound index but not met; a table alone is told as a difference of counts elsewhere. */
function missing(promised: number | null, index: readonly number[] | null, read: number): number {
  return index === null || promised === null ? 0 : Math.max(0, promised - read);
}

function startsRecord(view: DataView, at: number, number: number): boolean {
  return at + 12 <= view.byteLength && view.getInt32(at) === number;
}

/** Byte offsets of the records, or null where the .shx is missing or contradicts itself (told). */
function readIndex(shx: Uint8Array | null, shpBytes: number, file: string, problems: Problem[]): number[] | null {
  const where = { file };
  if (shx === null) {
    problems.push(
      problem('note', 'index-missing', 'There is no .shx; it is not needed: the shapes are read in order.', { where }),
    );
    return null;
  }
  const view = new DataView(shx.buffer, shx.byteOffset, shx.byteLength);
  const wrong = (why: string): null => {
    const text = `The .shx is wrong (${why}); the shapes are read in the order of the .shp instead.`;
    problems.push(problem('warning', 'index-wrong', text, { where }));
    return null;
  };
  if (shx.length < HEADER || view.getInt32(0) !== 9994 || (shx.length - HEADER) % 8 !== 0) return wrong('not an index');
  const offsets: number[] = [];
  for (let at = HEADER; at < shx.length; at += 8) {
    const offset = view.getInt32(at) * 2;
    if (offset + 8 > shpBytes || offset < HEADER)
      return wrong(`shape ${offsets.length + 1} at byte ${offset} is outside of the file`);
    if (offset <= (offsets.at(-1) ?? 0)) return wrong(`shape ${offsets.length + 1} lies before the one before it`);
    offsets.push(offset);
  }
  return offsets;
}

function damagedRecord(what: string): ShapeRecord {
  return { kind: 'refused', code: 'record-damaged', what };
}

function readRecord(view: DataView, at: number, bytes: number, fileType: number): ShapeRecord {
  const type = view.getInt32(at, true);
  if (type === 0) return { kind: 'none' };
  if (type !== fileType) {
    const isKnown = type in TYPE_NAMES;
    return {
      kind: 'refused',
      code: isKnown ? 'record-type' : 'record-damaged',
      what: isKnown
        ? `is of type ${type} (${TYPE_NAMES[type]}) in a file of ${TYPE_NAMES[fileType]} and is left out`
        : `says shape type ${type}, which does not exist, and is left out`,
    };
  }
  if (bytes < 44) return damagedRecord(`has only ${bytes} bytes, too few for a polygon, and is left out`);
  const parts = view.getInt32(at + 36, true);
  const points = view.getInt32(at + 40, true);
  if (parts < 0 || points < 0 || 44 + parts * 4 + points * 16 > bytes) {
    return damagedRecord(`claims ${parts} parts and ${points} corners in a record of ${bytes} bytes and is left out`);
  }
  const corners = at + 44 + parts * 4;
  const rings: LonLat[][] = [];
  for (let part = 0; part < parts; part++) {
    const from = view.getInt32(at + 44 + part * 4, true);
    const to = part + 1 < parts ? view.getInt32(at + 48 + part * 4, true) : points;
    if (from < 0 || to < from || to > points || (part === 0 && from !== 0)) {
      return damagedRecord(`has a part that starts at corner ${from} and ends at ${to} of ${points}, and is left out`);
    }
    const ring: LonLat[] = new Array<LonLat>(to - from);
    for (let i = from; i < to; i++) {
      const x = view.getFloat64(corners + i * 16, true);
      const y = view.getFloat64(corners + i * 16 + 8, true);
      ring[i - from] = [x, y];
    }
    if (ring.length > 0) rings.push(ring);
  }
  if (rings.length === 0) return { kind: 'none' };
  return { kind: LINES.has(fileType) ? 'lines' : 'rings', rings };
}
