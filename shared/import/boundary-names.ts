/** Which column names the fields, and which makes a file one of drawn weed patches: a guess with its reason. */
import type { ColumnReading } from '../model/records.ts';
import type { Scalar } from './boundaries.ts';

type Row = Readonly<Record<string, Scalar>>;

const NAMES = new Set(['name', 'fieldname', 'field', 'boundary', 'boundaryname', 'label', 'title', 'parcel', 'plot']);
const IDS = new Set(['id', 'fieldid', 'fid', 'objectid', 'gid', 'uid', 'number', 'no', 'nr', 'code']);
const DENSITY = new Set(['class', 'density', 'densityclass', 'patchdensity', 'weeddensity', 'densclass', 'densitycla']);
const PER_M2 = new Set(['densityperm2', 'plantsperm2', 'weedsperm2', 'perm2']);
const SPECIES = new Set(['species', 'weed', 'weedspecies']);
const CLASSES = new Set(['thin', 'medium', 'thick']);

const bare = (column: string) => column.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '');

/**
 * The column that names fields. By its own name first; then, because a shapefile cuts names to ten bytes, by content:
 * text that differs from row to row; then an id.
 * @returns null where no column would do
 */
export function chooseNameColumn(rows: readonly Row[], wished: string | undefined): ColumnReading | null {
  const columns = columnsOf(rows);
  if (wished !== undefined) {
    const column = columns.find((one) => one === wished) ?? columns.find((one) => bare(one) === bare(wished));
    if (column !== undefined) return { column, because: 'as you said', by: 'person' };
  }
  let best: { column: string; score: number; because: string } | null = null;
  for (const column of columns) {
    const { score, because } = nameScore(column, rows);
    if (score > 0 && (best === null || score > best.score)) best = { column, score, because };
  }
  return best === null ? null : { column: best.column, because: best.because, by: 'guess' };
}

function nameScore(column: string, rows: readonly Row[]): { score: number; because: string } {
  const values = rows.map((row) => row[column] ?? null).filter((value) => value !== null && value !== '');
  if (values.length === 0) return { score: 0, because: '' };
  const key = bare(column);
  if (NAMES.has(key)) {
    const score = 100 - [...NAMES].indexOf(key) / 10;
    return { score, because: `the column is called “${column}”` };
  }
  const isText = values.every((value) => typeof value === 'string');
  if (isText && key.includes('name')) return { score: 80, because: `the column's name “${column}” holds “name”` };
  const differs = new Set(values).size >= 0.8 * rows.length;
  const isId = IDS.has(key) || (key.endsWith('id') && key.length <= 12);
  if (isText && !isId && differs && values.some((value) => /\p{L}{2}/u.test(String(value)))) {
    return { score: 60, because: `“${column}” holds a text that differs from field to field` };
  }
  if (isId) return { score: differs ? 50 : 10, because: `no column of names; “${column}” is called like an id` };
  return { score: 0, because: '' };
}

export interface PatchColumns {
  readonly density: ColumnReading;
  /** Whether a feature says how dense its patch is. */
  readonly hasDensity: (row: Row) => boolean;
  readonly species: ColumnReading | null;
}

/** The columns of density and species, where every density given is thin, medium or thick, or all are plants per m². */
export function choosePatchColumns(rows: readonly Row[]): PatchColumns | null {
  const columns = columnsOf(rows);
  for (const column of columns) {
    const isClass = DENSITY.has(bare(column));
    if (!isClass && !PER_M2.has(bare(column))) continue;
    const says = isClass
      ? (value: Scalar) => densityClassOf(value) !== null
      : (value: Scalar) => typeof value === 'number' && value > 0;
    const values = rows.map((row) => row[column] ?? null).filter((value) => value !== null && value !== '');
    if (values.length === 0 || !values.every(says)) continue;
    const species = columns.find((one) => SPECIES.has(bare(one)));
    return {
      density: isClass
        ? { column, because: `“${column}” holds only thin, medium, thick`, by: 'guess' }
        : { column, unit: 'per m2', because: `“${column}” holds plants per m²`, by: 'guess' },
      hasDensity: (row) => says(row[column] ?? null),
      species:
        species === undefined ? null : { column: species, because: `the column is called “${species}”`, by: 'guess' },
    };
  }
  return null;
}

/** @returns The density class of a patch, or null where the cell is empty or another word. */
export function densityClassOf(value: Scalar | undefined): 'thin' | 'medium' | 'thick' | null {
  const word = String(value ?? '')
    .trim()
    .toLowerCase();
  return CLASSES.has(word) ? (word as 'thin' | 'medium' | 'thick') : null;
}

function columnsOf(rows: readonly Row[]): string[] {
  const columns = new Set<string>();
  for (const row of rows) for (const column of Object.keys(row)) columns.add(column);
  return [...columns];
}
