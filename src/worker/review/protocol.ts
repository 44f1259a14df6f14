/**
 * What the page and the worker of the review say to each other. It is a worker of its own, so that a file that hangs, or fills the
 * memory, takes nothing with it: the farm on the desk and its study go on, and the review can always be ended.
 */
import type { FileReview } from '../../../shared/analysis/review-file.ts';
import type { ShownRows } from '../../../shared/analysis/review-rows.ts';
import type { ReadingWishes } from '../../../shared/import/importer.ts';
import type { Edit } from '../../../shared/model/edit.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import type { Problem } from '../../../shared/model/problem.ts';
import type { Progress } from '../protocol.ts';

/** A file as it was dropped; `folder` is '' or ends in a slash. */
export interface GivenFile {
  readonly folder: string;
  readonly name: string;
  readonly blob: Blob;
}

/** Something to read: a file, or several that belong together. */
export interface Gathered {
  readonly items: readonly GatheredItem[];
  /** What was left alone, in one sentence; '' of none. */
  readonly aside: string;
  /** Places in what was given: farm files are opened, not added. */
  readonly farmFiles: readonly number[];
}

export interface GatheredItem {
  readonly id: number;
  readonly folder: string;
  readonly name: string;
  readonly bytes: number;
  /** Known at once where it cannot be read at all: a part of a .zip that is damaged. */
  readonly review: FileReview | null;
}

/** What taking the items in would do to the farm. */
export interface ReviewChange {
  /** null where nothing of the document would change. */
  readonly edit: Edit | null;
  readonly items: readonly ItemChange[];
}

export interface ItemChange {
  readonly id: number;
  /** "a round of 214 observations on 9 fields"; null where it cannot be taken in. */
  readonly summary: string | null;
  readonly problems: readonly Problem[];
}

export interface Attachment {
  readonly sha256: string;
  readonly name: string;
  readonly blob: Blob;
}

export interface ReviewAsks {
  gather: { readonly files: readonly GivenFile[] };
  read: { readonly item: number; readonly wishes: ReadingWishes };
  rows: { readonly item: number; readonly from: number; readonly count: number };
  /** `lost`: hashes of attachments that the farm names and cannot find. */
  change: { readonly farm: Farm; readonly items: readonly number[]; readonly lost: readonly string[] };
  attachments: { readonly items: readonly number[] };
}
export interface ReviewAnswers {
  gather: Gathered;
  read: FileReview;
  rows: ShownRows | null;
  change: ReviewChange;
  attachments: readonly Attachment[];
}
export type ReviewAsk = keyof ReviewAsks;

export type ReviewRequest =
  | { readonly kind: 'ask'; readonly number: number; readonly what: ReviewAsk; readonly ask: ReviewAsks[ReviewAsk] }
  | { readonly kind: 'stop'; readonly number: number };

export type ReviewReply =
  | { readonly kind: 'progress'; readonly number: number; readonly progress: Progress }
  | { readonly kind: 'answer'; readonly number: number; readonly answer: ReviewAnswers[ReviewAsk] }
  | { readonly kind: 'stopped'; readonly number: number }
  /** What only a programmer can cause. */
  | { readonly kind: 'broken'; readonly number: number; readonly text: string };
