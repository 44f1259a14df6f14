/** The farm that the worker has open: its document, its attachments and results, and what the last study of it told. */
import type { FigureBook } from '../../shared/analysis/formula.ts';
import { LiveStudy } from '../../shared/analysis/live-study.ts';
import type { Scope, StepId } from '../../shared/analysis/step.ts';
import type { StudyEvent, StudyRun } from '../../shared/analysis/study.ts';
import { applyEdit, type Edit } from '../../shared/model/edit.ts';
import type { Farm } from '../../shared/model/farm.ts';
import type { Attachments } from './kept/attachments.ts';
import type { ResultPacks } from './kept/result-packs.ts';

export class OpenFarm {
  /** Of the last complete study; null before the first. */
  figures: FigureBook | null = null;
  private readonly live: LiveStudy;
  /** The document as the last study looked at it. */
  private looked: { readonly farm: Farm; readonly season: number | null } | null = null;
  /** Of the last study of each season that was looked at. */
  private readonly usedKeys = new Map<number | null, ReadonlySet<string>>();

  constructor(
    private document: Farm,
    /** The files that a person gave: `open` reads one, `add` keeps one. */
    readonly attachments: Attachments,
    readonly results: ResultPacks,
  ) {
    this.live = new LiveStudy(attachments, results);
  }

  get farm(): Farm {
    return this.document;
  }

  /** As the page did to its own copy: both stay equal. */
  apply(edit: Edit): void {
    this.document = applyEdit(this.document, edit).farm;
  }

  /** @param season null: the last one with records */
  *study(season: number | null): Generator<StudyEvent, StudyRun, void> {
    this.looked = { farm: this.document, season };
    const run = yield* this.live.study(this.document, season === null ? {} : { season });
    this.figures = run.figures;
    this.usedKeys.set(season, run.usedKeys);
    return run;
  }

  /** One result of the farm as it is now; null where it is refused. Computed here where it is not known yet. */
  outcome<T>(step: StepId, scope: Scope): T | null {
    // A study that was only begun knows the document; what is asked for is computed here.
    if (this.looked?.farm !== this.document) this.study(this.looked?.season ?? null).next();
    const work = this.live.outcome(step, scope);
    let turn = work.next();
    while (!turn.done) turn = work.next();
    return turn.value.ok ? (turn.value.value as T) : null;
  }

  /** For a quiet moment: results go to the disk, and those that no study used are dropped. */
  async putAway(turn: () => Promise<void>, stopped: () => boolean): Promise<void> {
    for (const save = this.live.save(); !save.next().done;) {
      await turn();
      if (stopped()) return;
    }
    await this.results.settle();
    await this.results.keepOnly(new Set([...this.usedKeys.values()].flatMap((keys) => [...keys])), turn);
  }

  /** Nothing is written any more; what is asked is answered from memory and from what is there. */
  async close(): Promise<void> {
    await this.results.close();
  }
}
