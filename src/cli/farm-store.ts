/** A farm on disk: a folder with farm.json and attachments, or the same tree in one farm file (zip). */
import { DiskResults } from './disk-results.ts';
import { memoryStore } from '../../shared/analysis/memory-store.ts';
import { digestOfChunks } from '../../shared/analysis/digest.ts';
import type { FileDoor, ResultStore } from '../../shared/analysis/step.ts';
import { type ArchiveEntry, openArchive, writeArchive } from '../../shared/import/archive.ts';
import type { Farm } from '../../shared/model/farm.ts';
import { readFarmText, writeFarmText } from '../../shared/model/farm-text.ts';
import { done, type Outcome, type Problem, problem, refused } from '../../shared/model/problem.ts';
import type { ByteSource } from '../../shared/model/records.ts';
import { bytesOf, type Host } from './host.ts';

export interface FarmStore {
  readonly farm: Farm;
  readonly path: string;
  readonly door: FileDoor;
  readonly results: ResultStore;
  /** Whether results are kept where another computer can share them, and none is there yet. */
  readonly isFresh: boolean;
  /** The results on disk, for another thread to share; null in a farm file. */
  readonly shared: DiskResults | null;
  /** Results that a study did not use are dropped. */
  keepOnly(keys: ReadonlySet<string>): void;
  /** Writes the document and the attachments that are new. Nothing is written where it gives problems. */
  save(farm: Farm, attachments: readonly { readonly sha256: string; readonly source: ByteSource }[]): Problem[];
}

/** A farm file carries whole logs: larger limits than for a dropped zip, still bounded. */
const FARM_FILE_LIMITS = { entries: 5000, totalBytes: 4 * 2 ** 30, ratio: 200, ratioAboveBytes: 10 * 2 ** 20 };

export function openFarm(host: Host, path: string): Outcome<FarmStore> {
  const kind = host.kind(path);
  if (kind === 'nothing') {
    return refused(
      problem('error', 'farm-missing', `There is no farm at ${path}.`, { hint: 'Make one: seedfall new DIR.' }),
    );
  }
  return kind === 'folder' ? openFolder(host, path) : openFile(host, path);
}

function openFolder(host: Host, path: string): Outcome<FarmStore> {
  const document = host.open(host.join(path, 'farm.json'));
  if (!document) {
    return refused(
      problem('error', 'farm-missing', `${path} holds no farm.json.`, { hint: 'Make a farm: seedfall new DIR.' }),
    );
  }
  const read = readFarmText(new TextDecoder().decode(bytesOf(document)));
  if (!read.ok) return read;
  const at = (sha256: string) => host.join(path, 'attachments', sha256);
  const results = new DiskResults(host, host.join(path, '.derived'));
  return done({
    farm: read.value,
    path,
    door: { open: (sha256, name) => named(host.open(at(sha256)), name) },
    results,
    isFresh: results.isFresh,
    shared: results,
    keepOnly: (keys) => results.keepOnly(keys),
    save(farm, attachments) {
      for (const { sha256, source } of attachments) {
        if (host.kind(at(sha256)) === 'nothing') host.write(at(sha256), source);
      }
      host.write(host.join(path, 'farm.json'), new TextEncoder().encode(writeFarmText(farm)));
      return [];
    },
  });
}

function openFile(host: Host, path: string): Outcome<FarmStore> {
  const opened = openArchive(bytesOf(host.open(path)!), FARM_FILE_LIMITS);
  if (!opened.ok) return opened;
  const prefix = folderOfDocument(opened.value);
  const entries = new Map(opened.value.map((entry) => [entry.name, entry]));
  const document = entries.get(`${prefix}farm.json`)?.read();
  if (!document) {
    return refused(
      problem('error', 'farm-missing', `${host.baseName(path)} is a .zip without a farm.json in it.`, {
        hint: 'Make a farm file: seedfall new FARM.zip.',
      }),
    );
  }
  if (!document.ok) return document;
  const read = readFarmText(new TextDecoder().decode(document.value));
  if (!read.ok) return read;
  let last: { readonly sha256: string; readonly bytes: Uint8Array | null } | null = null;
  return done({
    farm: read.value,
    path,
    door: {
      open(sha256, name) {
        if (last?.sha256 !== sha256) {
          const content = entries.get(`${prefix}attachments/${sha256}`)?.read();
          last = { sha256, bytes: content?.ok ? content.value : null };
        }
        return last.bytes && sourceOf(name, last.bytes);
      },
    },
    results: memoryStore(),
    isFresh: false,
    shared: null,
    keepOnly: () => undefined,
    save(farm, attachments) {
      const text = new TextEncoder().encode(writeFarmText(farm));
      const written = new Map<string, Uint8Array>([[`${prefix}farm.json`, text]]);
      for (const entry of opened.value) {
        if (entry.name === `${prefix}farm.json`) continue;
        const content = entry.read();
        if (!content.ok) return notSaved(path, content.problems);
        written.set(entry.name, content.value);
      }
      for (const { sha256, source } of attachments) written.set(`${prefix}attachments/${sha256}`, bytesOf(source));
      host.write(path, writeArchive([...written].map(([name, bytes]) => ({ name, bytes }))));
      return [];
    },
  });
}

/** '' or, where a whole folder was zipped, the folder's name with its slash. */
function folderOfDocument(entries: readonly ArchiveEntry[]): string {
  if (entries.some((one) => one.name === 'farm.json')) return '';
  const inFolders = entries.filter((one) => /^[^/]+\/farm\.json$/.test(one.name));
  return inFolders.length === 1 ? inFolders[0]!.name.slice(0, -'farm.json'.length) : '';
}

/** Writing the farm file anew would lose what cannot be read from it. */
function notSaved(path: string, problems: readonly Problem[]): Problem[] {
  const why = problems[0]?.text ?? '';
  return [
    problem('error', 'farm-file-damaged', `${path} was not changed: a part of it cannot be read. ${why}`, {
      hint: 'Take the farm file from a backup, or unpack what can be read into a farm folder.',
    }),
  ];
}

/** Bytes in memory as a source. */
export function sourceOf(name: string, bytes: Uint8Array): ByteSource {
  return { name, size: bytes.length, chunks: () => [bytes] };
}

export function digestOfSource(source: ByteSource): string {
  return digestOfChunks(source.chunks());
}

function named(source: ByteSource | null, name: string): ByteSource | null {
  return source && { name, size: source.size, chunks: () => source.chunks() };
}
