/** What the command line asks of the machine it runs on; tests lend one without a disk. */
import type { ByteSource } from '../../shared/model/records.ts';

export interface Host {
  /** A file's bytes; null where there is no such file. */
  open(path: string): ByteSource | null;
  kind(path: string): 'file' | 'folder' | 'nothing';
  /** Names of the files and folders in a folder, sorted. */
  list(folder: string): string[];
  /** Makes folders on the way as needed; the file appears whole or not at all. */
  write(path: string, content: Uint8Array | ByteSource): void;
  remove(path: string): void;
  join(...parts: string[]): string;
  /** The name of a path without its folder. */
  baseName(path: string): string;
  out(text: string): void;
  err(text: string): void;
  /**
   * Starts computing some fields of a farm folder on another core, into the same store; null where the host has no other core.
   * `join` waits for it and tells how many results of each step it computed.
   */
  besides?(farm: string, fields: readonly string[]): { join(): Readonly<Record<string, number>> } | null;
  /** Whether progress may be drawn on stderr. */
  readonly showsProgress: boolean;
}

/** All bytes of a source in one piece. */
export function bytesOf(source: ByteSource): Uint8Array {
  const chunks = [...source.chunks()];
  if (chunks.length === 1) return chunks[0]!;
  const bytes = new Uint8Array(chunks.reduce((sum, chunk) => sum + chunk.length, 0));
  let at = 0;
  for (const chunk of chunks) {
    bytes.set(chunk, at);
    at += chunk.length;
  }
  return bytes;
}
