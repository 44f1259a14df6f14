/** A farm file in memory: its document read, its attachments at hand. */
import { digestOf } from '../../shared/analysis/digest.ts';
import { type ArchiveEntry, openArchive } from '../../shared/import/archive.ts';
import type { Farm, FarmFile } from '../../shared/model/farm.ts';
import { readFarmText } from '../../shared/model/farm-text.ts';
import { done, type Outcome, problem, type Problem, refused } from '../../shared/model/problem.ts';

export interface FarmFileInMemory {
  readonly farm: Farm;
  /** Inflates an attachment anew at each call, and checks it against its hash; null where it is not whole in the file. */
  contentOf(file: FarmFile): Promise<Uint8Array<ArrayBuffer> | null>;
}

/** A farm file carries whole logs: larger limits than for a dropped zip, still bounded. */
const LIMITS = { entries: 5000, totalBytes: 2 ** 31, ratio: 200, ratioAboveBytes: 10 * 2 ** 20 };
const HOW_TO_MAKE_ONE =
  'A farm file is a .zip made with “seedfall new my-farm.zip” and “seedfall add my-farm.zip FILE…”.';

export function openFarmFile(name: string, bytes: Uint8Array): Outcome<FarmFileInMemory> {
  const opened = openArchive(bytes, LIMITS);
  if (!opened.ok) {
    return refused(
      ...opened.problems.map((one) => ({ hint: HOW_TO_MAKE_ONE, ...one, where: { file: name, ...one.where } })),
    );
  }
  const prefix = folderOfDocument(opened.value);
  const entries = new Map(opened.value.map((entry) => [entry.name, entry]));
  const document = entries.get(`${prefix}farm.json`);
  if (!document) {
    return refused(
      problem('error', 'farm-missing', `${name} is a .zip, but there is no farm.json in it.`, {
        where: { file: name },
        hint: HOW_TO_MAKE_ONE,
      }),
    );
  }
  const text = document.read();
  if (!text.ok) return text;
  const read = readFarmText(new TextDecoder().decode(text.value));
  if (!read.ok) return read;

  const attachment = (sha256: string) => entries.get(`${prefix}attachments/${sha256}`);
  const farmFile: FarmFileInMemory = {
    farm: read.value,
    async contentOf({ sha256 }) {
      const content = attachment(sha256)?.read();
      if (!content?.ok) return null;
      const bytes = content.value as Uint8Array<ArrayBuffer>;
      return (await hashOf(bytes)) === sha256 ? bytes : null;
    },
  };
  return done(farmFile, [...opened.problems, ...read.problems, ...attachmentsAmiss(read.value, attachment)]);
}

/** By the browser, many times faster; an address without https has only our own. */
async function hashOf(bytes: Uint8Array<ArrayBuffer>): Promise<string> {
  if (!globalThis.crypto?.subtle) return digestOf(bytes);
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  return Array.from(hash, (byte) => byte.toString(16).padStart(2, '0')).join('');
}

/** '' or, where a whole folder was zipped, the folder's name with its slash. */
function folderOfDocument(entries: readonly ArchiveEntry[]): string {
  if (entries.some((one) => one.name === 'farm.json')) return '';
  const inFolders = entries.filter((one) => /^[^/]+\/farm\.json$/.test(one.name));
  return inFolders.length === 1 ? inFolders[0]!.name.slice(0, -'farm.json'.length) : '';
}

/** Files that the document names and the farm file does not hold, or not whole. */
function attachmentsAmiss(farm: Farm, attachment: (sha256: string) => ArchiveEntry | undefined): Problem[] {
  return farm.files.flatMap((file): Problem[] => {
    const entry = attachment(file.sha256);
    if (entry && entry.size === file.bytes) return [];
    const seen = entry ? `has ${entry.size} bytes in it instead of ${file.bytes}` : 'is not in it';
    return [
      problem('warning', 'attachment-missing', `The farm file should hold ${file.name}, but that ${seen}.`, {
        where: { file: file.name },
        hint: 'What rests on it is left out. Ask for a complete farm file.',
      }),
    ];
  });
}
