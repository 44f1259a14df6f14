/**
 * What the page and the worker say to each other. Requests that set off a study are numbered and the latest wins; questions are
 * short, each is answered, and many may wait at once.
 */
import type { Ranking } from '../../shared/analysis/ranking.ts';
import type { Study } from '../../shared/analysis/study.ts';
import type { Edit } from '../../shared/model/edit.ts';
import type { Farm } from '../../shared/model/farm.ts';
import type { Problem } from '../../shared/model/problem.ts';
import type { QuestionKind } from './questions.ts';

/** How far the work is: `title` says what is being done, `done` of `total` how much of it all. */
export interface Progress {
  readonly title: string;
  readonly done: number;
  readonly total: number;
}

export interface Kept {
  readonly farm: string;
  readonly where: 'private files' | 'database' | 'memory';
  readonly problems: readonly Problem[];
}

/** How a farm file is opened. */
export interface OpenHow {
  /** Ids of farms that are here already: a farm file with one of them is not opened, but told as `taken`. */
  readonly taken: readonly string[];
  /** The id and name that the farm gets instead of its own: a copy beside the one that is here. */
  readonly as: { readonly id: string; readonly name: string } | null;
  /** False in a tab that only looks: nothing is written. */
  readonly keeps: boolean;
  readonly season: number | null;
}

export type Request =
  /** Opens a farm file and studies it. */
  | {
      readonly kind: 'open';
      readonly number: number;
      readonly name: string;
      readonly bytes: ArrayBuffer;
      readonly how: OpenHow;
    }
  /** Opens a document that the page kept, or a new one, and studies it. `named` are hashes of attachments that undo may want again. */
  | {
      readonly kind: 'reopen';
      readonly number: number;
      readonly farm: Farm;
      readonly named: readonly string[];
      readonly keeps: boolean;
      readonly season: number | null;
    }
  /** Applies an edit to the document that was opened by request `of`, as the page did, and studies what is stale. */
  | {
      readonly kind: 'edit';
      readonly number: number;
      readonly of: number;
      readonly edit: Edit;
      readonly season: number | null;
    }
  /** Studies the farm that is open, in the season asked for; what is known already is not computed again. */
  | { readonly kind: 'resume'; readonly number: number; readonly season: number | null }
  | { readonly kind: 'stop'; readonly number: number }
  | { readonly kind: 'ask'; readonly number: number; readonly question: QuestionKind; readonly ask: unknown };

export type Reply =
  /** The document was read: outlines can be drawn while the study runs. */
  | { readonly kind: 'opened'; readonly number: number; readonly farm: Farm; readonly problems: readonly Problem[] }
  | { readonly kind: 'progress'; readonly number: number; readonly progress: Progress }
  /** A farm of that id is here already: the person is asked. */
  | { readonly kind: 'taken'; readonly number: number; readonly farm: { readonly id: string; readonly name: string } }
  /** The attachments of the farm lie where they are kept, or why not: its document may now be kept too. */
  | { readonly kind: 'kept'; readonly number: number; readonly kept: Kept }
  /** The ranked list is certain; ranges and the rest follow. */
  | { readonly kind: 'ranking'; readonly number: number; readonly ranking: Ranking }
  | { readonly kind: 'result'; readonly number: number; readonly study: Study }
  /** What a person's file can cause. */
  | { readonly kind: 'refused'; readonly number: number; readonly problems: readonly Problem[] }
  | { readonly kind: 'stopped'; readonly number: number }
  /** What only a programmer can cause. */
  | { readonly kind: 'broken'; readonly number: number; readonly text: string }
  | { readonly kind: 'answer'; readonly number: number; readonly answer: unknown };
