/**
 * One file before it is taken in: what it was taken for and why, what can be said against each guess, where its records lie,
 * and everything that was told while it was read.
 */
import { importerFor, readBundle, tableImporterOf, TABLE_KINDS } from '../import/importers.ts';
import type { Bundle, Importer, LackedValue, ReadFile, ReadingWishes } from '../import/importer.ts';
import type { Table } from '../import/csv.ts';
import type { Outcome, Problem } from '../model/problem.ts';
import type { ColumnReading, FileKind } from '../model/records.ts';
import { type ColumnChoice, columnChoices, speciesByColumn } from './review-columns.ts';
import { type ReviewFacts, reviewFacts } from './review-facts.ts';
import { rowsOf, type ShownRows, tableOf } from './review-rows.ts';
import { type ReviewShapes, reviewShapes } from './review-shapes.ts';

/** What else a person may say of a file. */
export type Asked = 'crs' | 'utcOffsetMinutes' | 'rowSpacingM' | 'walkedWidthM' | 'season';

export interface FileReview {
  readonly name: string;
  /** The other files that it was put together with. */
  readonly parts: readonly string[];
  readonly bytes: number;
  readonly isRead: boolean;
  /** What it was read as, or tried to be; null where it is of no known kind. */
  readonly kind: FileKind | null;
  /** Why it was taken for that, or why it was refused. */
  readonly why: string;
  readonly crs: string | null;
  readonly rows: number;
  readonly unusedRows: number;
  /** What a person may say that it is; none where there is no choice. */
  readonly kinds: readonly FileKind[];
  readonly asked: readonly Asked[];
  /** Names of its columns, or of its features' attributes. */
  readonly header: readonly string[];
  readonly columns: readonly ColumnChoice[];
  /** Columns that each count or rate one species. */
  readonly speciesColumns: readonly string[];
  readonly facts: ReviewFacts | null;
  readonly shapes: ReviewShapes | null;
  /** Its first rows. */
  readonly shown: ShownRows | null;
  readonly problems: readonly Problem[];
}

export interface ReviewedFile {
  readonly review: FileReview;
  /** null where it was refused. */
  readonly read: ReadFile | null;
}

export const ROWS_SHOWN = 8;
const SHAPE_KINDS: readonly FileKind[] = ['boundaries', 'drawn patches'];

/** Yields [bytes done, bytes in all]. */
export function* reviewFile(
  bundle: Bundle,
  wishes: ReadingWishes,
): Generator<readonly [number, number], ReviewedFile, void> {
  const outcome = yield* readBundle(bundle, wishes);
  const read = outcome.ok ? outcome.value : null;
  const importer = importerFor(bundle, wishes);
  const isWhole = importer !== null && !importer.columns;
  const table = isWhole ? null : tableOf(bundle, wishes);
  const kind = read?.reading.takenFor ?? TABLE_KINDS.find((one) => tableImporterOf(one) === importer) ?? null;
  const columns = columnsOf(wishes, read, table, kind);
  const shown = rowsOf(bundle, read?.records ?? null, 0, ROWS_SHOWN, wishes);
  const worst = outcome.problems.find((one) => one.level === 'error') ?? outcome.problems[0];
  const review: FileReview = {
    name: bundle.name,
    parts: bundle.parts.map((one) => one.name).filter((name) => name !== bundle.name),
    bytes: bundle.parts.reduce((sum, part) => sum + part.size, 0),
    isRead: read !== null,
    kind,
    why: read?.reading.why ?? worst?.text ?? 'It could not be read.',
    crs: read?.reading.crs ?? null,
    rows: read?.reading.rows ?? 0,
    unusedRows: read?.reading.unusedRows ?? 0,
    kinds: kindsOf(outcome, importer, table, kind),
    asked: askedOfFile(bundle, importer, kind, columns, isWhole),
    header: shown?.header ?? table?.header ?? [],
    columns,
    speciesColumns: table && kind ? speciesByColumn(table, kind, columns) : [],
    facts: read && reviewFacts(read.records),
    shapes: read && reviewShapes(read.records),
    shown,
    problems: outcome.problems,
  };
  return { review, read };
}

function askedOfFile(
  bundle: Bundle,
  importer: Importer | null,
  kind: FileKind | null,
  columns: readonly ColumnChoice[],
  isWhole: boolean,
): Asked[] {
  if (kind === null && importer?.gives !== undefined) return [];
  // Fields of a format that holds nothing else: it is always in one system.
  if (kind === 'boundaries' && importer?.gives !== undefined) return [];
  const asked = askedOf(kind, columns, isWhole);
  // A shapefile of points has a coordinate system; a table of text has degrees.
  const isPoints = !isWhole && bundle.parts.some((one) => /\.shp$/i.test(one.name));
  return isPoints && kind !== null ? ['crs', ...asked] : asked;
}

function kindsOf(
  outcome: Outcome<ReadFile>,
  importer: Importer | null,
  table: Table | null,
  kind: FileKind | null,
): readonly FileKind[] {
  if (table) return TABLE_KINDS;
  if (kind !== null && SHAPE_KINDS.includes(kind)) return importer?.gives === undefined ? SHAPE_KINDS : [];
  const isOtherWork = outcome.problems.some((one) => one.code === 'no-harvest-log');
  return importer?.gives !== undefined && isOtherWork ? [importer.gives] : [];
}

/** A file that cannot be read at all. */
export function refusedReview(name: string, bytes: number, why: Problem): FileReview {
  return {
    name,
    parts: [],
    bytes,
    isRead: false,
    kind: null,
    why: why.text,
    crs: null,
    rows: 0,
    unusedRows: 0,
    kinds: [],
    asked: [],
    header: [],
    columns: [],
    speciesColumns: [],
    facts: null,
    shapes: null,
    shown: null,
    problems: [why],
  };
}

function columnsOf(
  wishes: ReadingWishes,
  read: ReadFile | null,
  table: Table | null,
  kind: FileKind | null,
): ColumnChoice[] {
  const wanted = table && kind ? tableImporterOf(kind)?.columns?.(table) : undefined;
  if (table && wanted) return columnChoices(table, wanted, wishes, read?.reading.columns ?? null);
  const taken = read?.reading.columns ?? {};
  const lacks = read?.reading.lacks ?? [];
  const said = lacks.filter(({ id }) => taken[id]?.by !== 'person');
  return [
    ...Object.entries(taken).map(([id, one]) => attribute(id, one, lacks)),
    ...said.map(({ id, title, quantity }) => ({
      id,
      title,
      quantity,
      taken: null,
      units: [],
      sample: null,
      values: [],
    })),
  ];
}

const TITLES: Readonly<Record<string, string>> = {
  name: 'the name',
  species: 'the species',
  density: 'the density',
  flow: 'mass flow',
  moisture: 'moisture',
  swath: 'cut width',
  headerState: 'at work or not',
  speed: 'speed',
};

/** A feature's attribute (the name of a field, the density or species of a patch), or a logged value of task data. */
function attribute(id: string, taken: ColumnReading, lacks: readonly LackedValue[]): ColumnChoice {
  const lacked = lacks.find((one) => one.id === id);
  const title = TITLES[id] ?? lacked?.title ?? id;
  return {
    id,
    title,
    quantity: taken.by === 'person' ? (lacked?.quantity ?? null) : null,
    taken,
    units: [],
    sample: null,
    values: [],
  };
}

function askedOf(kind: FileKind | null, columns: readonly ColumnChoice[], isWhole: boolean): Asked[] {
  const has = (id: string) => columns.some((one) => one.id === id && one.taken);
  switch (kind) {
    case null:
      return isWhole ? ['crs'] : [];
    case 'boundaries':
      return ['crs'];
    case 'drawn patches':
      return ['crs', 'season'];
    case 'harvest log':
      return ['utcOffsetMinutes', 'season'];
    case 'scouting':
      // Field notes say all of it.
      if (isWhole) return [];
      return has('rowLength') && !has('rowSpacing') ? ['rowSpacingM', 'season'] : ['season'];
    case 'track':
      return ['walkedWidthM', 'season'];
    case 'weather':
      return [];
    default:
      return ['season'];
  }
}
