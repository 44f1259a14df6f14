/** Which table is which kind of file: by the columns that it has, and what to say when it is none. */
import { problem, refused } from '../model/problem.ts';
import type { Outcome, Problem } from '../model/problem.ts';
import type { ByteSource, FileKind } from '../model/records.ts';
import { findColumns, listed } from './columns.ts';
import type { WantedColumn } from './columns.ts';
import { openTable } from './csv.ts';
import type { Table } from './csv.ts';
import type { Bundle, ReadingWishes } from './importer.ts';
import { openPointTable, pointsOf } from './point-table.ts';

/** A file of each kind, as said in a sentence. */
const ONE: Readonly<Record<FileKind, string>> = {
  boundaries: 'boundaries',
  'drawn patches': 'drawn patches',
  'harvest log': 'a harvest log',
  scouting: 'a scouting round',
  ratings: 'a list of ratings',
  weather: 'daily weather',
  crops: 'a crop plan',
  sprayings: 'a spray record',
  track: 'a walked track',
};

/** What each kind of table must have, in words. */
export const NEEDS: Readonly<Record<Exclude<FileKind, 'boundaries' | 'drawn patches' | 'track'>, string>> = {
  'harvest log': 'longitude, latitude, time, and flow, yield, moisture or width',
  scouting: 'longitude, latitude, date, and a count or presence (with a species column or one column a species)',
  ratings: 'a field name and a rating',
  weather: 'a date, and highest and lowest temperature or rain',
  crops: 'a field name, a crop, and a planting date or a year',
  sprayings: 'a field name, a date and an active ingredient',
};

const TABLE_NAME = /\.(csv|txt|tsv|tab|dat|asc)$/i;
const OTHER_FORMAT = /\.(shp|dbf|shx|prj|cpg|zip|geojson|json|gpx|kml|kmz|xml|gpkg|bin|xlsx?|pdf|png|jpe?g)$/i;

/** The one part of a bundle that can be a table, or null. */
export function tableSource(bundle: Bundle): ByteSource | null {
  return bundle.parts.length === 1 && !OTHER_FORMAT.test(bundle.parts[0]!.name) ? bundle.parts[0]! : null;
}

const seenHeads = new WeakMap<Uint8Array, Table | null>();

/** The table at the start of a file, for recognition only; all importers ask for the same one. */
export function headTable(bundle: Bundle, head: Uint8Array): Table | null {
  const seen = seenHeads.get(head);
  if (seen !== undefined) return seen;
  const source = tableSource(bundle);
  const table = source ? lookAt(source, head) : pointTable(bundle);
  seenHeads.set(head, table);
  return table;
}

function pointTable(bundle: Bundle): Table | null {
  const shp = pointsOf(bundle);
  const opened = shp ? openPointTable(bundle, shp, null) : null;
  return opened?.ok ? opened.value : null;
}

function lookAt(source: ByteSource, head: Uint8Array): Table | null {
  const first = head.find((byte) => byte > 32 && byte < 127);
  if ((first === 123 || first === 60) && !TABLE_NAME.test(source.name)) return null;
  const opened = openTable({ name: source.name, size: head.length, chunks: () => [head] });
  return opened.ok ? opened.value : null;
}

/** Opens the table of a bundle (of a text, or of points with their attributes), or refuses with the reason. */
export function openBundle(bundle: Bundle, wishes: Pick<ReadingWishes, 'crs'>): Outcome<Table> {
  const source = tableSource(bundle);
  if (source) return openTable(source);
  const shp = pointsOf(bundle);
  if (shp) return openPointTable(bundle, shp, wishes.crs);
  return refused(
    problem('error', 'not-a-table', `${bundle.name} is not a text table.`, {
      where: { file: bundle.name },
      hint: 'Save it as CSV.',
    }),
  );
}

/**
 * How surely a table is of a kind: each of `needed` groups must have a column (any of its ids), the share of all wanted columns
 * found and the share of the file's columns explained raise it.
 */
export function kindScore(
  table: Table,
  wanted: readonly WantedColumn[],
  needed: readonly (readonly string[])[],
): number {
  const { found } = findColumns(wanted, table, {});
  const has = (ids: readonly string[]) => ids.some((id) => found[id]);
  const met = needed.filter(has).length;
  if (met < needed.length) return (0.3 * met) / needed.length;
  const columns = Object.values(found).filter(Boolean).length;
  return Math.min(
    0.99,
    0.6 + 0.05 * Math.min(needed.length, 4) + 0.15 * Math.min(1, columns / 6) + 0.04 * (columns / table.header.length),
  );
}

/** A refusal that names the columns seen and what the kind would need. */
export function lacking(table: Table, kind: keyof typeof NEEDS, what: string, hint?: string): Problem {
  const text = `${table.name} cannot be read as ${ONE[kind]}: ${what}. Its columns are ${listed(table.header)}.`;
  return problem('error', 'columns-lacking', text, {
    where: { file: table.name },
    hint: hint ?? `It needs ${NEEDS[kind]}. Say which column is which if they are called otherwise.`,
  });
}

/** What to say of a table that is of no known kind: the columns seen and what each kind would need. */
export function explainUnrelatedTable(bundle: Bundle, head: Uint8Array): Problem {
  const where = { file: bundle.name };
  const kinds = Object.entries(NEEDS).map(([kind, needs]) => `${kind}: ${needs}`);
  const hint = `Tables known here and what they need: ${kinds.join('; ')}.`;
  const source = tableSource(bundle);
  const shp = source ? null : pointsOf(bundle);
  const opened = source
    ? openTable({ name: source.name, size: head.length, chunks: () => [head] })
    : shp
      ? openPointTable(bundle, shp, null)
      : null;
  if (!opened) return problem('error', 'kind-unknown', `${bundle.name} is of no kind known here.`, { where, hint });
  if (!opened.ok) return opened.problems[0]!;
  const seen = listed(opened.value.header);
  return problem(
    'error',
    'kind-unknown',
    `${bundle.name} is ${shp ? 'a shapefile of points' : 'a table'} of no kind known here; its columns are ${seen}.`,
    {
      where,
      hint,
    },
  );
}

/** "4 of 9 columns are those of a harvest log (time, longitude, …)." */
export function whyKind(
  table: Table,
  kind: FileKind,
  wanted: readonly WantedColumn[],
  found: Readonly<Record<string, unknown>>,
  wishes: ReadingWishes,
): string {
  const titles = wanted.filter((one) => found[one.id]).map((one) => one.title);
  const said = wishes.as === kind ? ' A person said what it is.' : '';
  return `${titles.length} of ${table.header.length} columns are those of ${ONE[kind]} (${titles.join(', ')}).${said}`;
}
