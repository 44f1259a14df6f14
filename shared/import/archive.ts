/**
 * A .zip as a list of entries whose bytes are inflated one at a time and only when asked for.
 * Everything that a hostile or damaged file could blow up (names, counts, sizes, ratios) is judged from the central directory
 * first. The directory is read here, not by fflate, because fflate trusts it; fflate inflates, and this file alone imports it.
 * @source The .zip file format specification (APPNOTE 6.3.10, memory); limits: methods-spatial §15; reference/file-interop.
 */
import { Inflate, inflateSync, zipSync, type Zippable } from 'fflate';
import { done, problem, refused, type Outcome, type Problem } from '../model/problem.ts';

export interface ArchiveLimits {
  /** Files, without folders and resource forks. */
  readonly entries: number;
  /** Inflated, all together. */
  readonly totalBytes: number;
  /** Inflated over packed size, asked only of entries above `ratioAboveBytes`. */
  readonly ratio: number;
  readonly ratioAboveBytes: number;
}

/** For a file somebody sent. A farm file, which holds years of logs, is opened with wider ones. */
export const IMPORT_LIMITS: ArchiveLimits = {
  entries: 20_000,
  totalBytes: 2 ** 30,
  ratio: 200,
  ratioAboveBytes: 10 * 2 ** 20,
};

export interface ArchiveEntry {
  /** Path inside the archive, with forward slashes. */
  readonly name: string;
  /** Inflated size as the directory says; `read` refuses anything else. */
  readonly size: number;
  /** Inflates the entry anew at each call, and checks its length and checksum. */
  read(): Outcome<Uint8Array>;
  /** Inflates as it is asked for, unchecked: for an entry that was read whole once. */
  chunks(): Iterable<Uint8Array>;
}

const END_OF_DIRECTORY = 0x06054b50;
const DIRECTORY_ENTRY = 0x02014b50;
const LOCAL_HEADER = 0x04034b50;
const ENCRYPTED = 1;
const NAME_IS_UTF8 = 0x800;

/**
 * Opens a .zip: its files in directory order, folders and macOS resource forks left out.
 * @returns A refusal with code `not-a-zip`, `zip-damaged`, `zip-encrypted`, `zip-path`, `zip-entries`, `zip-size` or `zip-ratio`.
 */
export function openArchive(bytes: Uint8Array, limits: ArchiveLimits = IMPORT_LIMITS): Outcome<ArchiveEntry[]> {
  if (bytes.length < 4 || bytes[0] !== 0x50 || bytes[1] !== 0x4b) {
    return refused(problem('error', 'not-a-zip', 'This is not a .zip: it does not start with the letters PK.'));
  }
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const end = endOfDirectory(view);
  if (end === null) {
    return refused(
      problem('error', 'zip-damaged', 'The directory at the end of the .zip is missing: the file was cut short.', {
        hint: 'Copy or download it again.',
      }),
    );
  }
  const count = view.getUint16(end + 10, true);
  const start = view.getUint32(end + 16, true);
  if (count === 0xffff || start === 0xffffffff) {
    return refused(problem('error', 'zip-entries', 'The .zip is of the kind for more than 65 000 files or 4 GiB.'));
  }
  if (start + count * 46 > end) return refused(damaged('its directory does not lie where the file says'));

  const entries: ArchiveEntry[] = [];
  const problems: Problem[] = [];
  const seen = new Set<string>();
  let totalBytes = 0;
  let at = start;
  for (let i = 0; i < count; i++) {
    if (at + 46 > end || view.getUint32(at, true) !== DIRECTORY_ENTRY) {
      return refused(damaged(`entry ${i + 1} of ${count} in its directory is not readable`));
    }
    const flags = view.getUint16(at + 8, true);
    const method = view.getUint16(at + 10, true);
    const checksum = view.getUint32(at + 16, true);
    const nameEnd = at + 46 + view.getUint16(at + 28, true);
    const extraEnd = nameEnd + view.getUint16(at + 30, true);
    const next = extraEnd + view.getUint16(at + 32, true);
    if (next > end) return refused(damaged(`entry ${i + 1} of ${count} in its directory runs past the end`));
    const sizes = sizesOf(view, at, nameEnd, extraEnd);
    const name = entryName(bytes.subarray(at + 46, nameEnd), (flags & NAME_IS_UTF8) !== 0);
    at = next;

    if (isUnsafePath(name)) {
      return refused(
        problem('error', 'zip-path', `The .zip holds the name “${name}”, which points outside of it.`, {
          hint: 'Names with .. or with / or a drive at the start are refused. Ask the sender for a clean copy.',
        }),
      );
    }
    if (name.endsWith('/') || isResourceFork(name)) continue;
    if (flags & ENCRYPTED) {
      return refused(
        problem('error', 'zip-encrypted', `“${name}” in the .zip is locked with a password.`, {
          hint: 'Unpack it first, then bring in the files.',
        }),
      );
    }
    const where = { file: name };
    if (sizes.inflated > limits.ratioAboveBytes && sizes.inflated > limits.ratio * sizes.packed) {
      return refused(
        problem(
          'error',
          'zip-ratio',
          `“${name}” would grow from ${sizeText(sizes.packed)} to ${sizeText(sizes.inflated)}, more than ${limits.ratio} times: refused before unpacking.`,
          { where, hint: 'No record of a field packs that tightly. If the file is right, unpack it yourself first.' },
        ),
      );
    }
    totalBytes += sizes.inflated;
    if (totalBytes > limits.totalBytes) {
      return refused(
        problem('error', 'zip-size', `The .zip holds more than ${sizeText(limits.totalBytes)} when unpacked.`, {
          where,
          hint: 'Unpack it yourself and bring in the parts.',
        }),
      );
    }
    if (entries.length === limits.entries) {
      return refused(
        problem('error', 'zip-entries', `The .zip holds more than ${limits.entries} files.`, {
          hint: 'Unpack it yourself and bring in those that you need.',
        }),
      );
    }
    if (sizes.offset + 30 > start || view.getUint32(sizes.offset, true) !== LOCAL_HEADER) {
      return refused(damaged(`“${name}” does not lie where its directory says`));
    }
    const from = sizes.offset + 30 + view.getUint16(sizes.offset + 26, true) + view.getUint16(sizes.offset + 28, true);
    if (from + sizes.packed > start) return refused(damaged(`“${name}” is cut short`));
    if (seen.has(name)) {
      problems.push(
        problem('warning', 'zip-name-twice', `“${name}” is twice in the .zip; the first is taken.`, { where }),
      );
      continue;
    }
    seen.add(name);
    const packed = bytes.subarray(from, from + sizes.packed);
    entries.push({
      name,
      size: sizes.inflated,
      read: () => inflate(name, packed, method, sizes.inflated, checksum),
      chunks: () => inflated(packed, method),
    });
  }
  return done(entries, problems);
}

function endOfDirectory(view: DataView): number | null {
  const lowest = Math.max(0, view.byteLength - 22 - 0xffff);
  for (let at = view.byteLength - 22; at >= lowest; at--) {
    if (view.getUint32(at, true) === END_OF_DIRECTORY) return at;
  }
  return null;
}

/** Sizes and offset of a directory entry; where they do not fit 32 bits they stand in the extra field 1. */
function sizesOf(view: DataView, at: number, extra: number, extraEnd: number) {
  let packed = view.getUint32(at + 20, true);
  let inflated = view.getUint32(at + 24, true);
  let offset = view.getUint32(at + 42, true);
  for (let field = extra; field + 4 <= extraEnd; field += 4 + view.getUint16(field + 2, true)) {
    if (view.getUint16(field, true) !== 1) continue;
    const fieldEnd = Math.min(extraEnd, field + 4 + view.getUint16(field + 2, true));
    let wide = field + 4;
    const take = (narrow: number) => {
      if (narrow !== 0xffffffff || wide + 8 > fieldEnd) return narrow;
      wide += 8;
      return Number(view.getBigUint64(wide - 8, true));
    };
    inflated = take(inflated);
    packed = take(packed);
    offset = take(offset);
    break;
  }
  return { packed, inflated, offset };
}

function inflate(
  name: string,
  packed: Uint8Array,
  method: number,
  size: number,
  checksum: number,
): Outcome<Uint8Array> {
  const bad = (why: string) => refused({ ...damaged(`“${name}” ${why}`), where: { file: name } });
  if (method !== 0 && method !== 8) {
    return refused(
      problem('error', 'zip-method', `“${name}” is packed by method ${method}, which is not read here.`, {
        where: { file: name },
        hint: 'Pack it again as an ordinary .zip (“deflate”).',
      }),
    );
  }
  let content: Uint8Array;
  try {
    // One spare byte: an entry that holds more than its directory says then shows.
    content = method === 0 ? packed : inflateSync(packed, { out: new Uint8Array(size + 1) });
  } catch {
    return bad('cannot be unpacked');
  }
  if (content.length !== size) return bad('has another length than its directory says');
  if (crc32(content) !== checksum) return bad('does not match its checksum');
  return done(content);
}

const PIECE_BYTES = 1 << 16;

function* inflated(packed: Uint8Array, method: number): Generator<Uint8Array, void, void> {
  if (method === 0) {
    for (let at = 0; at < packed.length; at += PIECE_BYTES) yield packed.subarray(at, at + PIECE_BYTES);
    return;
  }
  const out: Uint8Array[] = [];
  const inflating = new Inflate((chunk) => out.push(chunk));
  for (let at = 0; at < packed.length; at += PIECE_BYTES) {
    inflating.push(packed.subarray(at, at + PIECE_BYTES), at + PIECE_BYTES >= packed.length);
    for (const chunk of out.splice(0)) if (chunk.length > 0) yield chunk;
  }
}

function entryName(raw: Uint8Array, isUtf8: boolean): string {
  let name: string;
  try {
    name = new TextDecoder('utf-8', { fatal: true }).decode(raw);
  } catch {
    name = new TextDecoder(isUtf8 ? 'utf-8' : 'windows-1252').decode(raw);
  }
  return name.replaceAll('\\', '/');
}

function isUnsafePath(name: string): boolean {
  return name.startsWith('/') || /^[a-z]:/i.test(name) || name.split('/').includes('..') || name.includes('\0');
}

function isResourceFork(name: string): boolean {
  const parts = name.split('/');
  return parts.includes('__MACOSX') || parts.at(-1)!.startsWith('._') || parts.at(-1) === '.DS_Store';
}

function damaged(what: string): Problem {
  return problem('error', 'zip-damaged', `The .zip is damaged: ${what}.`, { hint: 'Copy or download it again.' });
}

function sizeText(bytes: number): string {
  if (bytes >= 2 ** 30) return `${(bytes / 2 ** 30).toFixed(1)} GiB`;
  return bytes >= 2 ** 20 ? `${(bytes / 2 ** 20).toFixed(1)} MiB` : `${(bytes / 1024).toFixed(0)} KiB`;
}

let crcTable: Uint32Array | null = null;

function crc32(bytes: Uint8Array): number {
  if (crcTable === null) {
    crcTable = new Uint32Array(256);
    for (let i = 0; i < 256; i++) {
      let c = i;
      for (let bit = 0; bit < 8; bit++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
      crcTable[i] = c;
    }
  }
  let crc = 0xffffffff;
  for (let i = 0; i < bytes.length; i++) crc = crcTable[(crc ^ bytes[i]!) & 255]! ^ (crc >>> 8);
  return (crc ^ 0xffffffff) >>> 0;
}

const PACKED_ALREADY = /\.(zip|kmz|gz|png|jpe?g|webp|xlsx|pdf|pmtiles|mp4)$/i;

/**
 * A .zip of the entries. The same entries give the same bytes on every machine and day: the time in it is fixed.
 * Entries that are packed already are stored, not packed again.
 * @throws On a name that is empty, used twice, or unsafe to unpack.
 */
export function writeArchive(entries: readonly { name: string; bytes: Uint8Array }[]): Uint8Array {
  const files: Zippable = Object.create(null) as Zippable;
  for (const { name, bytes } of entries) {
    if (name === '' || name.endsWith('/') || isUnsafePath(name)) throw new Error(`writeArchive: bad name “${name}”`);
    if (name in files) throw new Error(`writeArchive: the name “${name}” is used twice`);
    files[name] = [bytes, { level: PACKED_ALREADY.test(name) ? 0 : 6 }];
  }
  // Without a zone: fflate writes local time, so that this text is the same stamp in every zone.
  return zipSync(files, { mtime: '1980-01-01T12:00:00' });
}
