/** The bench of the review without a browser: files as blobs whose bytes are given at once. */
import type { FileReview } from '../../shared/analysis/review-file.ts';
import type { Gathered, GivenFile } from '../../src/worker/review/protocol.ts';
import { ReviewBench } from '../../src/worker/review/bench.ts';
import { drive } from './import-text.ts';

const bytesOf = new Map<Blob, Uint8Array>();

export function given(path: string, content: string | Uint8Array): GivenFile {
  const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
  const blob = new Blob([bytes as Uint8Array<ArrayBuffer>]);
  bytesOf.set(blob, bytes);
  const cut = path.lastIndexOf('/') + 1;
  return { folder: path.slice(0, cut), name: path.slice(cut), blob };
}

export const newBench = () => new ReviewBench((blob, from, to) => bytesOf.get(blob)!.subarray(from, to));

export interface OnBench {
  readonly bench: ReviewBench;
  readonly gathered: Gathered;
  readonly ids: readonly number[];
  readonly reviews: readonly FileReview[];
  review(name: string): FileReview;
  id(name: string): number;
}

/** Everything gathered and read, as the page does. */
export function onBench(files: readonly GivenFile[]): OnBench {
  const bench = newBench();
  const gathered = drive(bench.gather(files));
  const reviews = gathered.items.map((one) => one.review ?? drive(bench.read(one.id, {})));
  const at = (name: string) => {
    const index = gathered.items.findIndex((one) => one.name === name);
    if (index < 0) throw new Error(`no ${name} among ${gathered.items.map((one) => one.name).join(', ')}`);
    return index;
  };
  return {
    bench,
    gathered,
    ids: gathered.items.filter((_, index) => reviews[index]!.isRead).map((one) => one.id),
    reviews,
    review: (name) => reviews[at(name)]!,
    id: (name) => gathered.items[at(name)]!.id,
  };
}
