/** A small shapefile of points written byte by byte: .shp of one point a record, .dbf of text, number and date columns. */
import type { Bundle } from '../../shared/import/importer.ts';
import { sourceOf } from './bundle.ts';

export interface PointColumn {
  readonly name: string;
  readonly type: 'C' | 'N' | 'D' | 'L';
  readonly width: number;
}

export interface PointRow {
  /** null: a record without a shape. */
  readonly at: readonly [number, number] | null;
  readonly cells: readonly string[];
  readonly deleted?: boolean;
}

export const WGS_84 =
  'GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["Degree",0.017453292519943295]]';
export const UTM_15N = `PROJCS["WGS_1984_UTM_Zone_15N",${WGS_84},PROJECTION["Transverse_Mercator"],PARAMETER["latitude_of_origin",0],PARAMETER["central_meridian",-93],PARAMETER["scale_factor",0.9996],PARAMETER["false_easting",500000],PARAMETER["false_northing",0],UNIT["Meter",1]]`;

/** @param type 1 points, 11 with height and measure */
export function shpBytes(rows: readonly PointRow[], type: 1 | 11 = 1): Uint8Array {
  const sizeOf = (row: PointRow) => (row.at === null ? 4 : type === 1 ? 20 : 36);
  const total = rows.reduce((sum, row) => sum + 8 + sizeOf(row), 100);
  const view = new DataView(new ArrayBuffer(total));
  view.setInt32(0, 9994);
  view.setInt32(24, total / 2);
  view.setInt32(28, 1000, true);
  view.setInt32(32, type, true);
  let at = 100;
  rows.forEach((row, n) => {
    view.setInt32(at, n + 1);
    view.setInt32(at + 4, sizeOf(row) / 2);
    if (row.at !== null) {
      view.setInt32(at + 8, type, true);
      view.setFloat64(at + 12, row.at[0], true);
      view.setFloat64(at + 20, row.at[1], true);
    }
    at += 8 + sizeOf(row);
  });
  return new Uint8Array(view.buffer);
}

export function dbfBytes(columns: readonly PointColumn[], rows: readonly PointRow[]): Uint8Array {
  const headerBytes = 33 + 32 * columns.length;
  const rowBytes = columns.reduce((sum, one) => sum + one.width, 1);
  const bytes = new Uint8Array(headerBytes + rowBytes * rows.length + 1).fill(0x20);
  const view = new DataView(bytes.buffer);
  bytes.fill(0, 0, headerBytes);
  bytes[0] = 3;
  view.setUint32(4, rows.length, true);
  view.setUint16(8, headerBytes, true);
  view.setUint16(10, rowBytes, true);
  const write = (text: string, at: number) => bytes.set(new TextEncoder().encode(text), at);
  columns.forEach(({ name, type, width }, n) => {
    write(name, 32 + 32 * n);
    write(type, 43 + 32 * n);
    bytes[48 + 32 * n] = width;
  });
  bytes[headerBytes - 1] = 0x0d;
  rows.forEach((row, n) => {
    let at = headerBytes + n * rowBytes;
    bytes[at++] = row.deleted ? 0x2a : 0x20;
    columns.forEach(({ type, width }, k) => {
      const cell = row.cells[k]!.slice(0, width);
      write(type === 'N' ? cell.padStart(width) : cell.padEnd(width), at);
      at += width;
    });
  });
  bytes[bytes.length - 1] = 0x1a;
  return bytes;
}

export type PointParts = Readonly<Record<'shp' | 'dbf' | 'prj', Uint8Array | undefined>>;

export function pointParts(
  columns: readonly PointColumn[],
  rows: readonly PointRow[],
  prj: string | null = WGS_84,
): PointParts {
  const text = prj === null ? undefined : new TextEncoder().encode(prj);
  return { shp: shpBytes(rows), dbf: dbfBytes(columns, rows), prj: text };
}

export function pointBundle(parts: PointParts, chunkBytes = 100): Bundle {
  const given = Object.entries(parts).flatMap(([ending, bytes]) => (bytes ? [[ending, bytes] as const] : []));
  return { name: 'log.shp', parts: given.map(([ending, bytes]) => sourceOf(`log.${ending}`, bytes, chunkBytes)) };
}
