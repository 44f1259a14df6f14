/**
 * One file and one interface a format. `recognize` looks at names and the first bytes; `read` gives records or problems and
 * never repairs in silence. The list of importers is at the end of import/importers.ts and is the only place that names them all.
 */
import type { Outcome } from '../model/problem.ts';
import type { ByteSource, ColumnReading, FileKind, Records } from '../model/records.ts';
import type { WantedColumn } from './columns.ts';
import type { Quantity } from '../units/units.ts';
import type { Table } from './csv.ts';

/** One thing to read: a file, or the loose parts of a shapefile (.shp, .dbf, .prj, .shx, .cpg) taken together. */
export interface Bundle {
  /** The name shown: the file's own, or the .shp's. */
  readonly name: string;
  readonly parts: readonly ByteSource[];
}

/** What a person may say against a guess. */
export interface ReadingWishes {
  readonly as?: FileKind;
  /** quantity → column of the file: { flow: 'FlowRate' }. */
  readonly columns?: Readonly<Record<string, string>>;
  /** quantity → unit id of units/units.ts: { flow: 'lb/s' }. */
  readonly units?: Readonly<Record<string, string>>;
  /** A coordinate system that the file does not say: "EPSG:26916" or "WGS 84". */
  readonly crs?: string;
  /** Local time of the file minus UTC, minutes. Default 0, told. */
  readonly utcOffsetMinutes?: number;
  /** Row spacing for counts per length of row, m. */
  readonly rowSpacingM?: number;
  /** Width of the strip that was looked over along a walked track, m. */
  readonly walkedWidthM?: number;
  /** Season whose dates are expected; a date outside is told. */
  readonly season?: number;
}

/** What a file was taken for and why; stays with the file in the document. */
export interface Reading {
  readonly importer: string;
  readonly takenFor: FileKind;
  /** One sentence: "5 of 6 columns are those of a harvest log (time, lon, lat, flow, moisture)." */
  readonly why: string;
  readonly crs?: string;
  readonly utcOffsetMinutes?: number;
  readonly columns: Readonly<Record<string, ColumnReading>>;
  /** Data rows or features in the file, and how many of them could not be used (each told as a problem). */
  readonly rows: number;
  readonly unusedRows: number;
  /** What the file does not say and a person may: one value for all records, as "=17 %". */
  readonly lacks?: readonly LackedValue[];
}

export interface LackedValue {
  /** Key of `ReadingWishes.columns`. */
  readonly id: string;
  readonly title: string;
  readonly quantity: Quantity;
}

export interface ReadFile {
  readonly reading: Reading;
  readonly records: Records;
}

export interface Importer {
  readonly id: string;
  readonly title: string;
  /** Of a format that holds one kind alone which tables hold, too: a person who says that kind means this reader. */
  readonly gives?: FileKind;
  /** Reads piece by piece: a file of any length. */
  readonly streams?: true;
  /** Of a table: the quantities that its columns can hold, whether the file has them or not. */
  columns?(table: Table): readonly WantedColumn[];
  /** 0 = not mine, 1 = certain. */
  recognize(bundle: Bundle, head: Uint8Array): number;
  /** Yields [bytes done, bytes in all] so that a host can show progress and stop. */
  read(bundle: Bundle, wishes: ReadingWishes): Generator<readonly [number, number], Outcome<ReadFile>, void>;
}
