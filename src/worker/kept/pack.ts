/**
 * Results one behind the other in one file, and at its end where each lies and what its bytes add up to. A file without a sound end
 * (the page was closed while it was written) holds nothing; an entry that is damaged is as good as absent.
 */

export interface PackFile {
  readonly name: string;
  readonly size: number;
  /** @throws where the file can no longer be read */
  read(from: number, to: number): Uint8Array;
}

export interface PackEntry {
  readonly key: string;
  readonly from: number;
  readonly length: number;
  readonly sum: number;
}

const MAGIC = 0x5eedfa12;
const END_BYTES = 16;

/** null where the entry's bytes are not what was written. */
export function readEntry(file: PackFile, entry: PackEntry): Uint8Array | null {
  try {
    const bytes = file.read(entry.from, entry.from + entry.length);
    return bytes.length === entry.length && sumOf(bytes) === entry.sum ? bytes : null;
  } catch {
    return null;
  }
}

/** What is written behind the entries. @param smallFrom where the small entries begin: all from there to the end is read in one go */
export function writeEnd(entries: readonly PackEntry[], smallFrom: number): Uint8Array<ArrayBuffer> {
  const list = new TextEncoder().encode(
    JSON.stringify(entries.map(({ key, from, length, sum }) => [key, from, length, sum])),
  );
  const bytes = new Uint8Array(list.length + END_BYTES);
  bytes.set(list);
  const end = new DataView(bytes.buffer, list.length);
  end.setUint32(0, list.length, true);
  end.setUint32(4, smallFrom, true);
  end.setUint32(8, endSum(list, smallFrom), true);
  end.setUint32(12, MAGIC, true);
  return bytes;
}

export interface ReadPack {
  readonly entries: readonly PackEntry[];
  /** The file again, with its small entries in memory: a read of a file costs the same for a few bytes as for thousands. */
  readonly file: PackFile;
}

/** null where the file has no sound end. */
export function readPack(file: PackFile): ReadPack | null {
  if (file.size < END_BYTES) return null;
  try {
    const last = file.read(file.size - END_BYTES, file.size);
    const end = new DataView(last.buffer, last.byteOffset, END_BYTES);
    const [listLength, smallFrom] = [end.getUint32(0, true), end.getUint32(4, true)];
    const listFrom = file.size - END_BYTES - listLength;
    if (end.getUint32(12, true) !== MAGIC || listFrom < smallFrom) return null;
    const tail = file.read(smallFrom, listFrom + listLength);
    const list = tail.subarray(listFrom - smallFrom);
    if (endSum(list, smallFrom) !== end.getUint32(8, true)) return null;
    const entries = JSON.parse(new TextDecoder().decode(list)) as [string, number, number, number][];
    return {
      entries: entries.map(([key, from, length, sum]) => ({ key, from, length, sum })),
      file: withTail(file, smallFrom, tail),
    };
  } catch {
    return null;
  }
}

function withTail(file: PackFile, tailFrom: number, tail: Uint8Array): PackFile {
  const read = (from: number, to: number) =>
    from < tailFrom ? file.read(from, to) : tail.slice(from - tailFrom, to - tailFrom);
  return { name: file.name, size: file.size, read };
}

const endSum = (list: Uint8Array, smallFrom: number): number => (sumOf(list) ^ smallFrom) >>> 0;

/** A sum that tells damage, not malice: FNV-1a over words of 32 bits, then over the bytes left. */
export function sumOf(bytes: Uint8Array): number {
  const aligned = bytes.byteOffset % 4 === 0 ? bytes : bytes.slice();
  const words = new Uint32Array(aligned.buffer, aligned.byteOffset, aligned.length >> 2);
  let sum = 0x811c9dc5;
  for (let i = 0; i < words.length; i++) sum = Math.imul(sum ^ words[i]!, 0x01000193);
  for (let i = words.length << 2; i < aligned.length; i++) sum = Math.imul(sum ^ aligned[i]!, 0x01000193);
  return sum >>> 0;
}
