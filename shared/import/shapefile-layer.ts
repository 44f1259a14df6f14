/**
 * One shapefile layer: shapes, table and .prj put together. What one part lacks never spoils the others.
 * @source Esri shapefile technical description, July 1998; reference/file-interop.
 */
import { done, problem, refused, type Outcome, type Problem } from '../model/problem.ts';
import type { Candidate } from './boundaries.ts';
import { isOnEarth, toDegrees, type InDegrees, type SystemClue } from './coordinate-system.ts';
import type { ReadingWishes } from './importer.ts';
import { nestRings } from './ring-nesting.ts';
import { readShapes, type ShapeRecord } from './shapefile-shapes.ts';
import { readTable, type Table } from './shapefile-table.ts';

export type LayerPart = 'shp' | 'shx' | 'dbf' | 'prj' | 'cpg';

/** One layer in degrees, with the number of records that it should hold. */
export function readLayer(
  parts: Readonly<Partial<Record<LayerPart, Uint8Array>>>,
  file: string,
  wishes: ReadingWishes,
): Outcome<InDegrees & { readonly rows: number }> {
  if (parts.shp === undefined) {
    return refused(
      problem('error', 'shapes-missing', 'The .shp, which holds the shapes, is missing.', {
        where: { file },
        hint: 'Bring in the .shp, .shx, .dbf and .prj together.',
      }),
    );
  }
  // A log of points is refused before its table, the larger part by far, is read.
  const atFirst = readShapes(parts.shp, parts.shx ?? null, null, file);
  if (!atFirst.ok && atFirst.problems.some((one) => one.code === 'shape-type-other')) return atFirst;
  const problems: Problem[] = [];
  const cpg = parts.cpg === undefined ? null : new TextDecoder().decode(parts.cpg);
  const table = tableOf(parts.dbf, cpg, file, problems);
  const shapes = readShapes(parts.shp, parts.shx ?? null, table?.rows.length ?? null, file);
  problems.push(...shapes.problems);
  if (!shapes.ok) return refused(...problems);
  const { records, lost } = shapes.value;
  if (table !== null) tellCounts(table, records.length, lost, parts.dbf!, file, problems);

  let woundWrong = 0;
  const candidates = records.map((record, index): Candidate => {
    const row = table?.rows[index];
    const base = { file, feature: index + 1, properties: row?.values ?? {} };
    if (row?.deleted) {
      const what = `is left out: row ${index + 1} of its table is marked deleted`;
      return { ...base, polygons: [], refused: { code: 'row-deleted', what } };
    }
    if (record.kind === 'refused') return { ...base, polygons: [], refused: { code: record.code, what: record.what } };
    if (record.kind === 'none') return { ...base, polygons: [] };
    if (record.kind === 'lines') return lineCandidate(base, record);
    const nested = nestRings(record.rings);
    if (record.rings.every((ring) => ring.every(isOnEarth))) woundWrong += nested.woundWrong;
    return { ...base, polygons: nested.polygons };
  });
  if (woundWrong > 0) {
    const text = `${woundWrong} ring${woundWrong === 1 ? ' is' : 's are'} wound the wrong way; which ring is a hole was taken from which lies inside which.`;
    problems.push(
      problem('warning', 'winding', text, { where: { file }, hint: 'Look at holes and islands on the map.' }),
    );
  }
  const prj = parts.prj === undefined ? '' : new TextDecoder().decode(parts.prj).trim();
  const clue: SystemClue =
    prj === ''
      ? { kind: 'none', missing: parts.prj === undefined ? 'There is no .prj' : 'The .prj is empty' }
      : { kind: 'wkt', text: prj, from: 'the .prj' };
  const placed = toDegrees(candidates, clue, wishes.crs, file);
  problems.push(...placed.problems);
  return placed.ok ? done({ ...placed.value, rows: records.length + lost }, problems) : refused(...problems);
}

function tableOf(dbf: Uint8Array | undefined, cpg: string | null, file: string, problems: Problem[]): Table | null {
  if (dbf === undefined) {
    problems.push(
      problem('warning', 'attributes-missing', 'There is no .dbf: the shapes come without names and attributes.', {
        where: { file },
        hint: `Add ${file.replace(/\.shp$/i, '')}.dbf, which lies beside the .shp.`,
      }),
    );
    return null;
  }
  const table = readTable(dbf, cpg, file);
  if (table.ok) {
    problems.push(...table.problems);
    return table.value;
  }
  for (const one of table.problems) {
    problems.push({ ...one, level: 'warning', text: `${one.text} The shapes come without names and attributes.` });
  }
  return null;
}

function tellCounts(
  table: Table,
  shapes: number,
  lost: number,
  dbf: Uint8Array,
  file: string,
  problems: Problem[],
): void {
  const rows = table.rows.length;
  if (shapes + lost === rows || (lost > 0 && rows >= shapes)) return;
  const view = new DataView(dbf.buffer, dbf.byteOffset, dbf.byteLength);
  const room = Math.floor((dbf.length - view.getUint16(8, true)) / view.getUint16(10, true));
  const first = `There are ${shapes} shapes but ${rows} attribute rows`;
  const aside = room > rows ? ` (the .dbf has room for ${room}, its header says ${rows})` : '';
  const text =
    rows < shapes
      ? `${first}${aside}: ${shapes - rows === 1 ? `shape ${shapes} has` : `shapes ${rows + 1} to ${shapes} have`} no name and attributes.`
      : `${first}: the last ${rows - shapes} rows have no shape.`;
  problems.push(problem('warning', 'attribute-count', text, { where: { file } }));
}

function lineCandidate(
  base: Pick<Candidate, 'file' | 'feature' | 'properties'>,
  record: ShapeRecord & { kind: 'lines' | 'rings' },
): Candidate {
  const closed = record.rings.every((line) => {
    const [first, last] = [line[0]!, line.at(-1)!];
    return line.length >= 4 && first[0] === last[0] && first[1] === last[1];
  });
  if (closed) return { ...base, polygons: nestRings(record.rings).polygons, closedLine: true };
  const what = 'is an open line, not a polygon, and is left out';
  return { ...base, polygons: [], refused: { code: 'geometry-other', what } };
}
