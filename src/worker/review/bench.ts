/** The files under review: what was dropped, put together and read, until it is taken in or put away. */
import { digesting } from '../../../shared/analysis/digest.ts';
import { type FileReview, refusedReview, reviewFile } from '../../../shared/analysis/review-file.ts';
import { rowsOf, type ShownRows } from '../../../shared/analysis/review-rows.ts';
import { takeInAll, type TakenFile } from '../../../shared/analysis/take-in-all.ts';
import type { IncomingFile } from '../../../shared/analysis/take-in.ts';
import { bundlesByFolder, isPictureOfNotes, type PlacedSource } from '../../../shared/import/bundles.ts';
import type { Bundle, ReadFile, ReadingWishes } from '../../../shared/import/importer.ts';
import { type Aside, asideOf, asideSentence } from '../../../shared/import/not-records.ts';
import { unpack } from '../../../shared/import/unpack.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { problem, type Problem } from '../../../shared/model/problem.ts';
import type { ByteSource } from '../../../shared/model/records.ts';
import { blobSource, type ReadNow } from '../kept/blob-source.ts';
import type { Progress } from '../protocol.ts';
import { fileFault } from './file-fault.ts';
import type { Attachment, Gathered, GatheredItem, GivenFile, ItemChange, ReviewChange } from './protocol.ts';

interface Item {
  readonly id: number;
  readonly folder: string;
  readonly bundle: Bundle;
  wishes: ReadingWishes;
  read: ReadFile | null;
  /** Of the bundle's parts, in their order; known once it was read. */
  digests: readonly string[];
}

interface Incoming extends IncomingFile {
  readonly id: number;
}

export class ReviewBench {
  private readonly items = new Map<number, Item>();
  private readonly blobs = new Map<ByteSource, Blob>();
  private last = 0;

  constructor(private readonly readNow: ReadNow) {}

  /** Puts together what belongs together. A part that cannot be read at all comes with its review. */
  *gather(given: readonly GivenFile[]): Generator<Progress, Gathered, void> {
    const placed: PlacedSource[] = [];
    const refused: GatheredItem[] = [];
    const asides: Aside[] = [];
    const farmFiles: number[] = [];
    for (const [index, { folder, name, blob }] of given.entries()) {
      const source = blobSource(blob, name, this.readNow);
      this.blobs.set(source, blob);
      try {
        const aside = asideOf(folder + name, () => firstBytes(source));
        if (aside !== null) asides.push(aside);
        else {
          const unpacked = yield* told(name, unpack({ folder, source }));
          refused.push(...unpacked.problems.map((one) => this.refuse(folder, one.where?.file ?? name, blob.size, one)));
          if (!unpacked.ok) continue;
          if (unpacked.value.is === 'farm file') farmFiles.push(index);
          else if (unpacked.value.is === 'one file') placed.push({ folder, source });
          else {
            const all = unpacked.value.placed;
            placed.push(...all.filter((one) => isPictureOfNotes(one, all) || !this.isAside(one, asides)));
          }
        }
      } catch (error) {
        refused.push(this.refuse(folder, name, blob.size, fileFault(error, name)));
      }
    }
    const items = bundlesByFolder(placed).map(({ folder, bundle }): GatheredItem => {
      const id = ++this.last;
      this.items.set(id, { id, folder, bundle, wishes: {}, read: null, digests: [] });
      return { id, folder, name: bundle.name, bytes: bytesOf(bundle), review: null };
    });
    return { items: [...items, ...refused], aside: asideSentence(asides), farmFiles };
  }

  *read(id: number, wishes: ReadingWishes): Generator<Progress, FileReview, void> {
    const item = this.item(id);
    const { bundle } = item;
    item.wishes = wishes;
    item.read = null;
    try {
      const { review, read } = yield* told(bundle.name, reviewFile(bundle, wishes));
      if (read !== null && item.digests.length === 0) item.digests = yield* this.digest(bundle);
      item.read = read;
      return review;
    } catch (error) {
      return refusedReview(bundle.name, bytesOf(bundle), fileFault(error, bundle.name));
    }
  }

  rows(id: number, from: number, count: number): ShownRows | null {
    const { bundle, read, wishes } = this.item(id);
    return rowsOf(bundle, read?.records ?? null, from, count, wishes);
  }

  /** What the items that were read would change, taken in together. */
  change(farm: Farm, ids: readonly number[], lost: readonly string[]): ReviewChange {
    const incoming = ids.flatMap((id) => incomingOf(this.item(id)));
    const { edit, files } = takeInAll(farm, incoming, (sha256) => lost.includes(sha256));
    return { edit, items: files.map((one) => changeOf(one, files)) };
  }

  /** Each part of the items byte for byte, under its hash; one of equal ones. */
  attachments(ids: readonly number[]): Attachment[] {
    const found = new Map<string, Attachment>();
    for (const { bundle, digests } of ids.map((id) => this.item(id))) {
      bundle.parts.forEach((part, index) => {
        const sha256 = digests[index]!;
        if (!found.has(sha256)) found.set(sha256, { sha256, name: part.name, blob: this.blobOf(part) });
      });
    }
    return [...found.values()];
  }

  private *digest(bundle: Bundle): Generator<Progress, string[], void> {
    const digests: string[] = [];
    for (const part of bundle.parts) {
      const work = digesting(part.chunks());
      let turn = work.next();
      while (!turn.done) {
        yield { title: `${bundle.name}: taking its fingerprint`, done: turn.value, total: part.size };
        turn = work.next();
      }
      digests.push(turn.value);
    }
    return digests;
  }

  private blobOf(part: ByteSource): Blob {
    return this.blobs.get(part) ?? new Blob([...part.chunks()] as BlobPart[]);
  }

  private isAside({ folder, source }: PlacedSource, asides: Aside[]): boolean {
    const aside = asideOf(folder + source.name, () => firstBytes(source));
    if (aside !== null) asides.push(aside);
    return aside !== null;
  }

  private refuse(folder: string, name: string, bytes: number, one: Problem): GatheredItem {
    return { id: ++this.last, folder, name, bytes, review: refusedReview(name, bytes, one) };
  }

  private item(id: number): Item {
    const item = this.items.get(id);
    if (!item) throw new Error(`ReviewBench: no item ${id}`);
    return item;
  }
}

function incomingOf({ id, bundle, read, digests, wishes }: Item): Incoming[] {
  if (read === null) return [];
  const at = bundle.parts.findIndex((part) => part.name === bundle.name);
  const all = bundle.parts.map((part, index) => ({ name: part.name, sha256: digests[index]!, bytes: part.size }));
  const main = all[at]!;
  return [{ id, ...main, parts: all.filter((one) => one !== main), read, wishes }];
}

/** A file that came twice in one drop is told so: the farm does not know it yet. */
function changeOf({ file, summary, problems }: TakenFile<Incoming>, all: readonly TakenFile<Incoming>[]): ItemChange {
  const twin = all.find((one) => one.summary !== null && one.file.sha256 === file.sha256 && one.file !== file);
  if (summary !== null || !twin || !problems.some((one) => one.code === 'file-known'))
    return { id: file.id, summary, problems };
  const where = { file: file.name };
  const text = `${file.name} is the same file as ${twin.file.name}, byte for byte: it is added once.`;
  return { id: file.id, summary: null, problems: [problem('warning', 'file-twice', text, { where })] };
}

function* told<T>(title: string, work: Generator<readonly [number, number], T, void>): Generator<Progress, T, void> {
  let turn = work.next();
  while (!turn.done) {
    const [done, total] = turn.value;
    yield { title, done, total };
    turn = work.next();
  }
  return turn.value;
}

function firstBytes(source: ByteSource): Uint8Array {
  for (const chunk of source.chunks()) if (chunk.length > 0) return chunk;
  return new Uint8Array(0);
}

function bytesOf(bundle: Bundle): number {
  return bundle.parts.reduce((sum, part) => sum + part.size, 0);
}
