/** The files that a person gave, of the farm that is open: kept byte for byte under their hash, read at once while a study runs. */
import type { FileDoor } from '../../../shared/analysis/step.ts';
import type { FarmFile } from '../../../shared/model/farm.ts';
import { problem, type Problem } from '../../../shared/model/problem.ts';
import type { ByteSource } from '../../../shared/model/records.ts';
import { blobSource, bytesSource, readNow } from './blob-source.ts';
import type { Shelf } from './shelf.ts';

export class Attachments implements FileDoor {
  private readonly held: Map<string, Blob>;
  /** Not kept yet. */
  private readonly inMemory = new Map<string, Uint8Array<ArrayBuffer>>();

  constructor(
    readonly shelf: Shelf,
    private readonly read = readNow,
    held: ReadonlyMap<string, Blob> = new Map(),
  ) {
    this.held = new Map(held);
  }

  open(sha256: string, name: string): ByteSource | null {
    const bytes = this.inMemory.get(sha256);
    if (bytes) return bytesSource(bytes, name);
    const blob = this.held.get(sha256);
    return blob ? blobSource(blob, name, this.read) : null;
  }

  /** The files themselves, for another worker. */
  get blobs(): ReadonlyMap<string, Blob> {
    return new Map([
      ...this.held,
      ...[...this.inMemory].map(([sha256, bytes]) => [sha256, new Blob([bytes])] as const),
    ]);
  }

  get bytesInMemory(): number {
    return [...this.inMemory.values()].reduce((sum, bytes) => sum + bytes.length, 0);
  }

  /** Can be read at once, from memory; `keep` keeps it. */
  hold(sha256: string, bytes: Uint8Array<ArrayBuffer>): void {
    this.inMemory.set(sha256, bytes);
  }

  /** Keeps what was only held. @returns why it could not be kept; it can be read all the same */
  async keep(sha256: string, name: string): Promise<Problem[]> {
    const bytes = this.inMemory.get(sha256);
    if (!bytes) return [];
    const problems = await this.add(sha256, name, new Blob([bytes]));
    this.inMemory.delete(sha256);
    return problems;
  }

  /** Finds what the document names, so that it can be opened at once. @returns what is missing or cut, told */
  async find(files: readonly FarmFile[]): Promise<Problem[]> {
    const found = await Promise.all(files.map((file) => this.shelf.take(file.sha256)));
    return files.flatMap((file, index) => {
      const blob = found[index];
      if (blob?.size === file.bytes) this.held.set(file.sha256, blob);
      return blob?.size === file.bytes ? [] : [missing(file, blob?.size ?? null)];
    });
  }

  /** Holds what is given for the study at once, then keeps it. @returns why it could not be kept; it can be read all the same */
  async add(sha256: string, name: string, content: Blob): Promise<Problem[]> {
    this.held.set(sha256, content);
    try {
      this.held.set(sha256, await this.shelf.put(sha256, content));
      return [];
    } catch (error) {
      return [notKept(name, content.size, error)];
    }
  }

  /** Drops what is kept and named by nobody any more. */
  async keepOnly(sha256s: ReadonlySet<string>): Promise<void> {
    for (const kept of await this.shelf.list()) if (!sha256s.has(kept)) await this.shelf.drop(kept);
  }
}

function missing(file: FarmFile, bytes: number | null): Problem {
  const seen = bytes === null ? 'is not there any more' : `has ${bytes} bytes instead of ${file.bytes}`;
  return problem('warning', 'attachment-missing', `${file.name} was kept on this machine, but ${seen}.`, {
    where: { file: file.name },
    hint: 'What rests on it is left out. Open a farm file that holds it, or bring the file in again.',
  });
}

function notKept(name: string, bytes: number, error: unknown): Problem {
  const full = error instanceof DOMException && error.name === 'QuotaExceededError';
  const size = `${(bytes / 1e6).toFixed(1)} MB`;
  const said = error instanceof Error ? error.message : String(error);
  const why = full ? `the browser’s storage is full (the file has ${size})` : `the browser refused it: ${said}`;
  return problem('error', full ? 'storage-full' : 'storage-refused', `${name} could not be kept: ${why}.`, {
    where: { file: name },
    hint: 'It is held in this tab until you close it. Save a farm file now; then delete a farm that you no longer need here, or make room on the disk.',
  });
}
