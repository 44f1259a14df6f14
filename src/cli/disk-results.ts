/**
 * Results on disk, in a folder of their own: large ones a file each, small ones together in a pack, since opening a file costs more
 * than most of them are long.
 */
import { decode, encode } from '../../shared/analysis/encode.ts';
import type { ResultStore } from '../../shared/analysis/step.ts';
import { bytesOf, type Host } from './host.ts';

const SMALL_BYTES = 65_536;
const PACK = 'pack-';

export class DiskResults implements ResultStore {
  private small = new Map<string, Uint8Array>();
  private large = new Set<string>();
  /** Whether nothing was kept when it was opened. */
  readonly isFresh: boolean;

  constructor(
    private readonly host: Host,
    private readonly folder: string,
  ) {
    this.look();
    this.isFresh = this.small.size + this.large.size === 0;
  }

  has(key: string): boolean {
    return this.small.has(key) || this.large.has(key);
  }

  read(key: string): Uint8Array | null {
    const kept = this.small.get(key);
    if (kept) return kept;
    const source = this.large.has(key) ? this.host.open(this.host.join(this.folder, key)) : null;
    return source && bytesOf(source);
  }

  write(key: string, bytes: Uint8Array): void {
    if (bytes.length <= SMALL_BYTES) this.small.set(key, bytes);
    else {
      this.host.write(this.host.join(this.folder, key), bytes);
      this.large.add(key);
    }
  }

  /** Takes in what another thread has stored meanwhile. */
  look(): void {
    for (const name of this.host.list(this.folder)) {
      if (!name.startsWith(PACK)) {
        this.large.add(name);
        continue;
      }
      for (const [key, bytes] of Object.entries(this.packAt(name)))
        if (!this.small.has(key)) this.small.set(key, bytes);
    }
  }

  /** Writes the small results that are not on disk yet. */
  flush(name = 'main'): void {
    if (this.small.size > 0)
      this.host.write(this.host.join(this.folder, PACK + name), encode(Object.fromEntries(this.small)));
  }

  /** Drops what these keys do not name, and writes the rest as one pack. */
  keepOnly(keys: ReadonlySet<string>): void {
    for (const key of this.small.keys()) if (!keys.has(key)) this.small.delete(key);
    this.flush();
    for (const name of this.host.list(this.folder)) {
      if (name !== `${PACK}main` && !keys.has(name)) this.host.remove(this.host.join(this.folder, name));
    }
  }

  /** A pack that is damaged holds nothing: its results are computed anew. */
  private packAt(name: string): Readonly<Record<string, Uint8Array>> {
    try {
      return decode(bytesOf(this.host.open(this.host.join(this.folder, name))!)) as Record<string, Uint8Array>;
    } catch {
      return {};
    }
  }
}
