/**
 * A shapefile of points as a table: its .dbf with two columns more, the degrees of each point. Read row by row as it streams, so
 * that a log of any length comes as from a text table. A row is a record of the shapefile, from 1.
 * @source Esri shapefile technical description, July 1998; dBase III+ table structure (memory)
 */
import { done, problem, refused, type Outcome, type Problem } from '../model/problem.ts';
import type { ByteSource } from '../model/records.ts';
import { chooseCodePage } from './code-page.ts';
import { findSystem, type System, type SystemClue } from './coordinate-system.ts';
import type { Table, TableBlock } from './csv.ts';
import { DbfCells } from './dbf-cells.ts';
import type { Bundle } from './importer.ts';
import { PieceReader } from './piece-reader.ts';
import { readColumns, tellNames, textSample, trimmed, uniqueNames, type TableColumn } from './shapefile-table.ts';
import { holdsPoints } from './shapefile-shapes.ts';

const SHP_HEADER = 100;
const DBF_HEADER = 32;
const BLOCK_ROWS = 2048;
const SAMPLE_ROWS = 500;
const STAR = 0x2a;
/** First in the table: a column of the .dbf that is called alike then comes second. */
const PLACES = ['lon (of the point)', 'lat (of the point)'] as const;

/** The .shp of a bundle of points, or null. */
export function pointsOf(bundle: Bundle): ByteSource | null {
  const shp = bundle.parts.find((part) => /\.shp$/i.test(part.name));
  return shp && holdsPoints(new PieceReader(shp).take(SHP_HEADER)) ? shp : null;
}

/** @param crs as a person said; null where the places do not matter (only the names of columns are looked at) */
export function openPointTable(bundle: Bundle, shp: ByteSource, crs: string | undefined | null): Outcome<Table> {
  const file = bundle.name;
  const where = { file };
  const partOf = (ending: string) => bundle.parts.find((one) => one.name.toLowerCase().endsWith(ending));
  const dbf = partOf('.dbf');
  if (!dbf) {
    return refused(
      problem('error', 'attributes-missing', 'The .dbf, which holds what was logged at each point, is missing.', {
        where,
        hint: `Add ${file.replace(/\.shp$/i, '')}.dbf, which lies beside the .shp.`,
      }),
    );
  }
  const layout = layoutOf(dbf);
  if (typeof layout === 'string')
    return refused(problem('error', 'attributes-damaged', `The .dbf is not readable: ${layout}.`, { where }));
  const notes: Problem[] = [];
  if (layout.said > layout.room) {
    const text = `The .dbf ends early: its header says ${layout.said} rows, ${layout.room} are whole.`;
    notes.push(problem('warning', 'attributes-cut', text, { where, hint: 'Copy or export it again.' }));
  }
  const system = crs === null ? AS_IT_IS : systemOf(shp, partOf('.prj'), crs, file);
  if (!system.ok) return system;
  notes.push(...system.problems);
  tellNames(layout.columns, (code, text) => notes.push(problem('note', code, text, { where })));

  const sampleCells = new PieceReader(dbf, layout.headerBytes).take(
    layout.rowBytes * Math.min(SAMPLE_ROWS, layout.rows),
  );
  const cpg = partOf('.cpg');
  const page = chooseCodePage(cpg ? textOf(cpg) : null, layout.language, sampleOfText(sampleCells, layout));
  if (page.doubt !== null)
    notes.push(problem('warning', 'encoding-guessed', `${page.doubt}.`, { where, hint: 'Check names with accents.' }));

  const blocks = () => {
    const cells = new DbfCells(layout, page, PLACES.length, BLOCK_ROWS);
    return pointBlocks(shp, dbf, layout, system.value, cells, file);
  };
  const header = [...PLACES, ...uniqueNames(layout.columns)];
  const sample: string[][] = [];
  for (const block of blocks()) {
    for (let row = 0; row < block.cells.rows && sample.length < SAMPLE_ROWS; row++)
      sample.push(header.map((_, column) => block.cells.text(row, column)));
    break;
  }
  const size = shp.size + dbf.size;
  return done(
    { name: file, size, header, units: null, sample, decimal: 46, crs: system.value.crs, notes, blocks },
    notes,
  );
}

export interface DbfLayout {
  readonly columns: readonly TableColumn[];
  /** Byte of a row at which each column starts. */
  readonly starts: readonly number[];
  readonly headerBytes: number;
  readonly rowBytes: number;
  readonly said: number;
  readonly room: number;
  readonly rows: number;
  readonly language: number;
}

function layoutOf(dbf: ByteSource): DbfLayout | string {
  const reader = new PieceReader(dbf);
  const first = reader.take(DBF_HEADER).slice();
  if (first.length < DBF_HEADER) return `it has only ${first.length} bytes`;
  const view = new DataView(first.buffer, first.byteOffset, first.byteLength);
  const headerBytes = view.getUint16(8, true);
  const rowBytes = view.getUint16(10, true);
  const said = view.getUint32(4, true);
  if (headerBytes < 33 || headerBytes > dbf.size) return `its header claims ${headerBytes} bytes of ${dbf.size}`;
  const language = first[29]!;
  const header = new Uint8Array(headerBytes);
  header.set(first);
  header.set(reader.take(headerBytes - DBF_HEADER), DBF_HEADER);
  const columns = readColumns(header, headerBytes);
  if (columns.length === 0) return 'it has no columns';
  const used = columns.reduce((sum, one) => sum + one.width, 1);
  if (used > rowBytes) return `its columns need ${used} bytes a row, its header says ${rowBytes}`;
  const starts: number[] = [];
  let at = 1;
  for (const { width } of columns) {
    starts.push(at);
    at += width;
  }
  const room = Math.floor((dbf.size - headerBytes) / rowBytes);
  return { columns, starts, headerBytes, rowBytes, said, room, rows: Math.min(said, room), language };
}

function sampleOfText(rows: Uint8Array, { columns, starts, rowBytes }: DbfLayout): Uint8Array {
  return textSample(columns, Math.floor(rows.length / rowBytes), (row, column) => {
    const at = row * rowBytes + starts[column]!;
    return trimmed(rows.subarray(at, at + columns[column]!.width));
  });
}

const AS_IT_IS: Outcome<System> = done({
  toLonLat: (x: number, y: number) => [x, y] as [number, number],
  isDegrees: true,
  crs: '',
  notes: [],
});

function systemOf(
  shp: ByteSource,
  prj: ByteSource | undefined,
  wish: string | undefined,
  file: string,
): Outcome<System> {
  const points = new PointReader(shp);
  const extents = [];
  for (let n = 0; n < SAMPLE_ROWS && points.next(); n++) {
    const { x, y } = points;
    if (Number.isFinite(x) && Number.isFinite(y)) extents.push({ x, y, largestX: Math.abs(x), largestY: Math.abs(y) });
  }
  const text = prj ? textOf(prj).trim() : '';
  const missing = prj ? 'The .prj is empty' : 'There is no .prj';
  const clue: SystemClue = text === '' ? { kind: 'none', missing } : { kind: 'wkt', text, from: 'the .prj' };
  return findSystem(extents, clue, wish, file);
}

function textOf(source: ByteSource): string {
  return new TextDecoder().decode(new PieceReader(source).take(source.size));
}

function* pointBlocks(
  shp: ByteSource,
  dbf: ByteSource,
  layout: DbfLayout,
  system: System,
  cells: DbfCells,
  file: string,
): Generator<TableBlock, void, void> {
  const points = new PointReader(shp);
  const rows = new PieceReader(dbf, layout.headerBytes);
  let without = 0;
  for (let row = 1; row <= layout.rows;) {
    const problems: Problem[] = [];
    cells.start();
    for (; row <= layout.rows && cells.rows < BLOCK_ROWS; row++) {
      const bytes = rows.take(layout.rowBytes);
      const hasPoint = points.next();
      if (!hasPoint) without++;
      if (bytes[0] === STAR) {
        const text = `Row ${row} is marked deleted in the .dbf and left out.`;
        problems.push(problem('warning', 'row-deleted', text, { where: { file, row } }));
        continue;
      }
      const isPlaced = hasPoint && Number.isFinite(points.x) && Number.isFinite(points.y);
      const [lon, lat] = isPlaced ? system.toLonLat(points.x, points.y) : [NaN, NaN];
      cells.add(bytes, row, lon, lat);
    }
    if (row > layout.rows) problems.push(...differences(points, layout.rows, without, file));
    yield { cells, bytesDone: points.bytesDone + layout.headerBytes + (row - 1) * layout.rowBytes, problems };
  }
}

/** Points without a row and rows without a point. */
function differences(points: PointReader, rows: number, without: number, file: string): Problem[] {
  const where = { file };
  const hint = 'Copy or export it again.';
  if (without > 0) {
    const text = `The .shp ends early: the last ${without} of ${rows} rows have no point.`;
    return [problem('warning', 'file-ends-early', text, { where, hint })];
  }
  let more = 0;
  while (points.next()) more++;
  if (more === 0) return [];
  const text = `There are ${rows + more} points but ${rows} rows in the .dbf: what was logged at the last ${more} points is lost.`;
  return [problem('warning', 'attribute-count', text, { where: { file, row: rows + 1 }, hint })];
}

const RECORD_HEADER = 8;

/** The points of a .shp in order; a record without a point gives NaN. */
class PointReader {
  x = NaN;
  y = NaN;
  private readonly bytes: PieceReader;

  constructor(shp: ByteSource) {
    this.bytes = new PieceReader(shp, SHP_HEADER);
  }

  get bytesDone(): number {
    return this.bytes.bytesDone;
  }

  /** False at the end of the whole records. */
  next(): boolean {
    const head = this.bytes.take(RECORD_HEADER);
    if (head.length < RECORD_HEADER) return false;
    const size = new DataView(head.buffer, head.byteOffset, RECORD_HEADER).getInt32(4) * 2;
    if (size < 4 || size > 1000) return false;
    const content = this.bytes.take(size);
    if (content.length < size) return false;
    const view = new DataView(content.buffer, content.byteOffset, size);
    const isPoint = size >= 20 && view.getInt32(0, true) !== 0;
    this.x = isPoint ? view.getFloat64(4, true) : NaN;
    this.y = isPoint ? view.getFloat64(12, true) : NaN;
    return true;
  }
}
