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

const MAGIC = 0x5eedfa11;
const END_BYTES = 12;

/** null where the entry's bytes are not what was written. */
export function readEntry(file: PackFile, entry: PackEntry): Uint8Array | null {
  try {
    const bytes = file.read(entry.from, entry.from + entry.length);
    return bytes.length === entry.length && sumOf(bytes) === entry.sum ? bytes : null;
  } catch {
    return null;
  }
}

/** What is written behind the entries. */
export function writeEnd(entries: readonly PackEntry[]): Uint8Array<ArrayBuffer> {
  const list = new TextEncoder().encode(
    JSON.stringify(entries.map(({ key, from, length, sum }) => [key, from, length, sum])),
  );
  const bytes = new Uint8Array(list.length + END_BYTES);
  bytes.set(list);
  const end = new DataView(bytes.buffer, list.length);
  end.setUint32(0, list.length, true);
  end.setUint32(4, sumOf(list), true);
  end.setUint32(8, MAGIC, true);
  return bytes;
}

/** null where the file has no sound end. */
export function readEnd(file: PackFile): PackEntry[] | null {
  if (file.size < END_BYTES) return null;
  try {
    const tail = file.read(file.size - END_BYTES, file.size);
    const end = new DataView(tail.buffer, tail.byteOffset, END_BYTES);
    const length = end.getUint32(0, true);
    const from = file.size - END_BYTES - length;
    if (end.getUint32(8, true) !== MAGIC || from < 0) return null;
    const list = file.read(from, from + length);
    if (sumOf(list) !== end.getUint32(4, true)) return null;
    const entries = JSON.parse(new TextDecoder().decode(list)) as [string, number, number, number][];
    return entries.map(([key, at, size, sum]) => ({ key, from: at, length: size, sum }));
  } catch {
    return null;
  }
}

/** A sum that tells damage, not malice: FNV-1a over words of 32 bits, then over the bytes left. */
export function sumOf(bytes: Uint8Array): number {
  const aligned = bytes.byteOffset % 4 === 0 ? bytes : bytes.slice();
  const words = new Uint32Array(aligned.buffer, aligned.byteOffset, aligned.length >> 2);
  let sum = 0x811c9dc5;
  for (let i = 0; i < words.length; i++) sum = Math.imul(sum ^ words[i]!, 0x01000193);
  for (let i = words.length << 2; i < aligned.length; i++) sum = Math.imul(sum ^ aligned[i]!, 0x01000193);
  return sum >>> 0;
}
