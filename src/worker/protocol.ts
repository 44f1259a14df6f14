/** What the page and the worker say to each other. Every request has a number; a reply carries the number of its request. */
import type { Study } from '../../shared/analysis/study.ts';
import type { Farm } from '../../shared/model/farm.ts';
import type { Problem } from '../../shared/model/problem.ts';

/** How far the work is: `title` says what is being done, `done` of `total` how much of it all. */
export interface Progress {
  readonly title: string;
  readonly done: number;
  readonly total: number;
}

export type Request =
  /** Opens a farm file and studies it. */
  | { readonly kind: 'open'; readonly number: number; readonly name: string; readonly bytes: ArrayBuffer }
  /** Studies the farm that is open; what is known already is not computed again. */
  | { readonly kind: 'resume'; readonly number: number }
  | { readonly kind: 'stop'; readonly number: number };

export type Reply =
  /** The document was read: outlines can be drawn while the study runs. */
  | { readonly kind: 'opened'; readonly number: number; readonly farm: Farm; readonly problems: readonly Problem[] }
  | { readonly kind: 'progress'; readonly number: number; readonly progress: Progress }
  | { readonly kind: 'result'; readonly number: number; readonly study: Study }
  /** What a person's file can cause. */
  | { readonly kind: 'refused'; readonly number: number; readonly problems: readonly Problem[] }
  | { readonly kind: 'stopped'; readonly number: number }
  /** What only a programmer can cause. */
  | { readonly kind: 'broken'; readonly number: number; readonly text: string };
