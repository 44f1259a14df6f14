/**
 * Derived results of one farm, kept in packs on disk and read when they are asked for. Whatever goes wrong with them costs a new
 * computation and nothing else.
 */
import type { ResultStore } from '../../../shared/analysis/step.ts';
import { type PackEntry, type PackFile, readEntry, readPack, sumOf, writeEnd } from './pack.ts';
import type { OpenPack, PackFolder } from './pack-folder.ts';

interface Place {
  readonly pack: PackFile;
  readonly entry: PackEntry;
}

/** Results wait in memory until so many bytes of them are written in one go. */
const WAITING_BYTES = 4 * 2 ** 20;
/** Smaller ones wait until their pack is closed, and lie together at its end. */
const SMALL_RESULT_BYTES = 32 * 2 ** 10;
/** A pack is closed at this size: what is lost where the page is closed before is at most one. */
const PACK_BYTES = 48 * 2 ** 20;
/** Packs smaller than this are put together once there are many. */
const SMALL_BYTES = 4 * 2 ** 20;
const MANY = 12;

export class ResultPacks implements ResultStore {
  private readonly places = new Map<string, Place>();
  private readonly waiting = new Map<string, Uint8Array>();
  /** Of those that go to the disk next, and of the small ones. */
  private waitingBytes = 0;
  private smallBytes = 0;
  private packs: PackFile[] = [];
  private open: OpenPack | null = null;
  private entries: PackEntry[] = [];
  private sealing: Promise<void> | null = null;
  private last = 0;
  /** True once the disk refused: results are then held in memory alone. */
  private given = false;

  /** @param folder null: nothing is written, what is made lives in memory (a tab that only looks) */
  private constructor(private folder: PackFolder | null) {}

  /** Reads which results there are; damaged packs are thrown away by who may write. */
  static async open(folder: PackFolder, mayWrite: boolean): Promise<ResultPacks> {
    const results = new ResultPacks(mayWrite ? folder : null);
    for (const pack of await folder.list()) {
      results.last = Math.max(results.last, Number(pack.name) || 0);
      const read = readPack(pack);
      if (!read) {
        if (mayWrite) await folder.remove(pack.name);
        continue;
      }
      results.packs.push(read.file);
      for (const entry of read.entries) results.places.set(entry.key, { pack: read.file, entry });
    }
    await results.begin();
    return results;
  }

  static inMemory(): ResultPacks {
    return new ResultPacks(null);
  }

  /** Whether nothing is known yet. */
  get isEmpty(): boolean {
    return this.places.size + this.waiting.size === 0;
  }
  /** True where results cannot be kept: they are computed again when the farm is opened again. */
  get isRefused(): boolean {
    return this.given;
  }

  has(key: string): boolean {
    return this.waiting.has(key) || this.places.has(key);
  }

  read(key: string): Uint8Array | null {
    const waiting = this.waiting.get(key);
    if (waiting) return waiting;
    const place = this.places.get(key);
    const bytes = place ? readEntry(place.pack, place.entry) : null;
    if (place && !bytes) this.places.delete(key);
    return bytes;
  }

  write(key: string, bytes: Uint8Array): void {
    if (this.has(key)) return;
    this.waiting.set(key, bytes);
    if (isSmall(bytes)) this.smallBytes += bytes.length;
    else this.waitingBytes += bytes.length;
    if (this.waitingBytes > WAITING_BYTES || this.smallBytes > PACK_BYTES) this.append();
  }

  /** Puts what was made on the disk and closes the pack, so that it is there when the farm is opened again. */
  async settle(): Promise<void> {
    await this.sealing;
    this.append();
    if (this.open && this.entries.length + this.waiting.size > 0) this.sealing = this.seal();
    await this.sealing;
  }

  /**
   * Drops the results that these keys do not name, and rewrites packs that are mostly dead or many and small.
   * @param pause gives others a turn
   */
  async keepOnly(keys: ReadonlySet<string>, pause: () => Promise<void>): Promise<void> {
    for (const key of this.places.keys()) if (!keys.has(key)) this.places.delete(key);
    const old = this.worthRewriting();
    for (const pack of old) {
      for (const [key, place] of [...this.places].filter(([, one]) => one.pack === pack)) {
        const bytes = this.read(key);
        await pause();
        if (!bytes || this.places.get(key) !== place) continue;
        this.places.delete(key);
        this.write(key, bytes);
      }
    }
    await this.settle();
    if (this.given) return;
    this.packs = this.packs.filter((one) => !old.includes(one));
    for (const pack of old) await this.folder?.remove(pack.name);
  }

  /** Puts away what was made; from here on results live in memory. */
  async close(): Promise<void> {
    const { folder } = this;
    this.folder = null;
    await this.settle();
    const unused = this.open;
    this.open = null;
    if (!unused) return;
    await unused.seal();
    await folder?.remove(unused.name);
  }

  private worthRewriting(): PackFile[] {
    if (!this.folder || this.given) return [];
    const live = new Map(this.packs.map((pack) => [pack, 0]));
    for (const { pack, entry } of this.places.values()) live.set(pack, (live.get(pack) ?? 0) + entry.length);
    const small = this.packs.filter((pack) => pack.size < SMALL_BYTES);
    return this.packs.filter(
      (pack) => live.get(pack)! < pack.size / 2 || (small.length > MANY && small.includes(pack)),
    );
  }

  /** What waits goes to the open pack, but for the small ones; where none is open, it waits on. */
  private append(): void {
    const { open } = this;
    if (!open) return;
    try {
      for (const [key, bytes] of this.waiting) if (!isSmall(bytes)) this.put(open, key, bytes);
    } catch {
      return this.giveUp(open);
    }
    if (open.size + this.smallBytes > PACK_BYTES) this.sealing = this.seal();
  }

  private put(open: OpenPack, key: string, bytes: Uint8Array): void {
    const from = open.size;
    open.write(bytes as Uint8Array<ArrayBuffer>);
    const entry = { key, from, length: bytes.length, sum: sumOf(bytes) };
    this.entries.push(entry);
    this.places.set(key, { pack: open, entry });
    this.waiting.delete(key);
    if (isSmall(bytes)) this.smallBytes -= bytes.length;
    else this.waitingBytes -= bytes.length;
  }

  private async seal(): Promise<void> {
    const { open, entries } = this;
    if (!open) return;
    try {
      const smallFrom = open.size;
      for (const [key, bytes] of this.waiting) this.put(open, key, bytes);
      open.write(writeEnd(entries, smallFrom));
      this.open = null;
      this.entries = [];
      const pack = await open.seal();
      for (const entry of entries) {
        if (this.places.get(entry.key)?.pack === open) this.places.set(entry.key, { pack, entry });
      }
      this.packs.push(pack);
    } catch {
      return this.giveUp(open);
    }
    await this.begin();
  }

  private async begin(): Promise<void> {
    if (!this.folder || this.given || this.open) return;
    try {
      this.open = await this.folder.begin(String(++this.last));
    } catch {
      this.given = true;
    }
  }

  /** The disk is full or refuses: what lies in that pack is computed anew where it is asked for. */
  private giveUp(pack: OpenPack): void {
    this.given = true;
    this.open = null;
    this.entries = [];
    for (const [key, place] of this.places) if (place.pack === pack) this.places.delete(key);
    pack.seal().then(
      () => this.folder?.remove(pack.name),
      () => undefined,
    );
  }
}

function isSmall(bytes: Uint8Array): boolean {
  return bytes.length < SMALL_RESULT_BYTES;
}
