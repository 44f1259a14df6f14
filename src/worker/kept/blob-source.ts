import type { ByteSource } from '../../../shared/model/records.ts';

/** Reads a stretch of a blob at once: a worker can. */
export type ReadNow = (blob: Blob, from: number, to: number) => Uint8Array;

export const readNow: ReadNow = (blob, from, to) =>
  new Uint8Array(new FileReaderSync().readAsArrayBuffer(blob.slice(from, to)));

const CHUNK_BYTES = 2 ** 20;

/** A blob on disk as the core reads it: chunk by chunk, never the whole of it in memory. */
export function blobSource(blob: Blob, name: string, read: ReadNow = readNow): ByteSource {
  return {
    name,
    size: blob.size,
    *chunks() {
      for (let at = 0; at < blob.size; at += CHUNK_BYTES) yield read(blob, at, Math.min(blob.size, at + CHUNK_BYTES));
    },
  };
}

/** Bytes in memory, in the same chunks. */
export function bytesSource(bytes: Uint8Array, name: string): ByteSource {
  return {
    name,
    size: bytes.length,
    *chunks() {
      for (let at = 0; at < bytes.length; at += CHUNK_BYTES) yield bytes.subarray(at, at + CHUNK_BYTES);
    },
  };
}
