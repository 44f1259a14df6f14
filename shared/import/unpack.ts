/**
 * A .zip of mixed records is its files. A .zip of boundaries alone stays one file, kept as it was given; a farm file is no
 * record: it is opened, not added.
 */
import { done, problem, refused, type Outcome, type Problem } from '../model/problem.ts';
import type { ByteSource } from '../model/records.ts';
import { type ArchiveEntry, openArchive } from './archive.ts';
import { readWhole } from './bundle-bytes.ts';
import type { PlacedSource } from './bundles.ts';
import { pointsOf } from './point-table.ts';
import { isTaskDataName } from './task-set.ts';

const ZIP = /\.zip$/i;
const BOUNDARY_LAYER = /\.(shp|geojson)$/i;
const TABLE = /\.(csv|tsv|tab)$/i;

export type Unpacked =
  | { readonly is: 'records'; readonly placed: readonly PlacedSource[] }
  /** Not a .zip, or one that is read as it is. */
  | { readonly is: 'one file' }
  | { readonly is: 'farm file' };

const ONE_FILE: Unpacked = { is: 'one file' };

/** Larger .zips do not fit into memory beside what is in them. */
const LARGEST_ZIP_BYTES = 2 ** 30;

/** Yields [bytes done, bytes in all]. */
export function* unpack({
  folder,
  source,
}: PlacedSource): Generator<readonly [number, number], Outcome<Unpacked>, void> {
  if (!ZIP.test(source.name) || !startsAsZip(source)) return done(ONE_FILE);
  if (source.size > LARGEST_ZIP_BYTES) {
    return refused(
      problem('error', 'file-large', `${source.name} is larger than 1 GiB: a .zip is read as a whole.`, {
        where: { file: source.name },
        hint: 'Unpack it and bring in its files: they are read piece by piece.',
      }),
    );
  }
  const opened = openArchive(yield* readWhole(source));
  // What is wrong with it is told by its reader.
  if (!opened.ok) return done(ONE_FILE);
  const entries = opened.value;
  if (entries.some((one) => /^([^/]+\/)?farm\.json$/.test(one.name))) return done<Unpacked>({ is: 'farm file' });
  const isBoundaries = entries.some((one) => BOUNDARY_LAYER.test(one.name));
  const hasMore =
    entries.some(isPoints) ||
    entries.some(
      (one) =>
        TABLE.test(one.name) || ZIP.test(one.name) || isTaskDataName(one.name.slice(one.name.lastIndexOf('/') + 1)),
    );
  if (entries.length === 0 || (isBoundaries && !hasMore)) return done(ONE_FILE);

  const problems: Problem[] = [...opened.problems];
  const placed: PlacedSource[] = [];
  for (const [index, entry] of entries.entries()) {
    yield [source.size / 2 + (source.size * index) / (2 * entries.length), source.size];
    const content = entry.read();
    if (content.ok) placed.push(placedEntry(entry, `${folder}${source.name}/`));
    else problems.push(...content.problems);
  }
  return placed.length === 0 ? refused(...problems) : done<Unpacked>({ is: 'records', placed }, problems);
}

/** Points with their attributes are a log or counts, not boundaries. */
function isPoints(entry: ArchiveEntry): boolean {
  return /\.shp$/i.test(entry.name) && pointsOf({ name: entry.name, parts: [entry] }) !== null;
}

function startsAsZip(source: ByteSource): boolean {
  for (const chunk of source.chunks()) if (chunk.length > 0) return chunk[0] === 0x50 && chunk[1] === 0x4b;
  return false;
}

/** Was unpacked once and is whole; unpacked again as it is read, so that a large .zip is not held unpacked. */
function placedEntry(entry: ArchiveEntry, zip: string): PlacedSource {
  const cut = entry.name.lastIndexOf('/') + 1;
  const source = { name: entry.name.slice(cut), size: entry.size, chunks: () => entry.chunks() };
  return { folder: zip + entry.name.slice(0, cut), source };
}
