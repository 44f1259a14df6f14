/**
 * Several files that were read, taken in one after the other as one edit: boundaries first, since everything else is placed by
 * them. The command line and the review of the page both come this way, so that the same files give the same document.
 */
import { applyEdit, type Edit } from '../model/edit.ts';
import type { Farm } from '../model/farm.ts';
import type { Problem } from '../model/problem.ts';
import type { FileKind } from '../model/records.ts';
import { fewListed } from '../units/words.ts';
import { takeIn } from './take-in.ts';
import type { IncomingFile } from './taking.ts';

const ORDER: readonly FileKind[] = [
  'boundaries',
  'crops',
  'weather',
  'sprayings',
  'scouting',
  'ratings',
  'drawn patches',
  'harvest log',
  'track',
];

/** What became of one file. */
export interface TakenFile<F extends IncomingFile> {
  readonly file: F;
  /** What came in, in words; null where it was refused. */
  readonly summary: string | null;
  /** Its attachments that the farm knows and has lost: nothing of the document changes. */
  readonly restored: boolean;
  readonly problems: readonly Problem[];
}

export interface TakenAll<F extends IncomingFile> {
  readonly farm: Farm;
  /** null where nothing of the document changes. */
  readonly edit: Edit | null;
  /** In the order in which they were taken. */
  readonly files: readonly TakenFile<F>[];
}

/** @param isLost whether the farm names an attachment of that hash and cannot find it */
export function takeInAll<F extends IncomingFile>(
  farm: Farm,
  incoming: readonly F[],
  isLost: (sha256: string) => boolean,
): TakenAll<F> {
  let now = farm;
  const edits: Edit[] = [];
  const summaries: string[] = [];
  const files = inOrder(incoming).map((file): TakenFile<F> => {
    const hashes = [file.sha256, ...file.parts.map((one) => one.sha256)];
    if (now.files.some((one) => one.sha256 === file.sha256) && hashes.some(isLost))
      return { file, summary: 'the attachment that was missing', restored: true, problems: [] };
    const taken = takeIn(now, file);
    if (!taken.ok) return { file, summary: null, restored: false, problems: taken.problems };
    const { edit, summary } = taken.value;
    now = applyEdit(now, edit).farm;
    edits.push(edit);
    summaries.push(summary);
    return { file, summary, restored: false, problems: taken.problems };
  });
  return { farm: now, edit: edits.length === 0 ? null : joined(edits, summaries), files };
}

/** By kind; files of one kind as they came. */
function inOrder<F extends IncomingFile>(incoming: readonly F[]): F[] {
  const place = (file: F) => ORDER.indexOf(file.read.reading.takenFor);
  return [...incoming].sort((a, b) => place(a) - place(b));
}

/** One edit with the last value of each path: every edit here sets whole lists, and a later one holds the earlier. */
function joined(edits: readonly Edit[], summaries: readonly string[]): Edit {
  if (edits.length === 1) return edits[0]!;
  const sets = new Map<string, Edit['sets'][number]>();
  for (const one of edits.flatMap((edit) => edit.sets)) sets.set(JSON.stringify(one.path), one);
  return { label: `Add ${fewListed(summaries, MOST_IN_LABEL)}`, sets: [...sets.values()] };
}

const MOST_IN_LABEL = 3;
