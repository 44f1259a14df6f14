/** The farm that the worker has open: its document, its attachments and results, and what the last study of it told. */
import type { FigureBook } from '../../shared/analysis/formula.ts';
import type { Runner, RunnerProgress } from '../../shared/analysis/runner.ts';
import type { Scope, StepId } from '../../shared/analysis/step.ts';
import { startRunner, studyFarm, type StudyRun } from '../../shared/analysis/study.ts';
import { applyEdit, type Edit } from '../../shared/model/edit.ts';
import type { Farm } from '../../shared/model/farm.ts';
import type { Attachments } from './kept/attachments.ts';
import type { ResultPacks } from './kept/result-packs.ts';

export class OpenFarm {
  /** Of the last complete study; null before the first. */
  figures: FigureBook | null = null;
  private runner: Runner | null = null;
  private usedKeys: ReadonlySet<string> = new Set();

  constructor(
    private document: Farm,
    /** The files that a person gave: `open` reads one, `add` keeps one. */
    readonly attachments: Attachments,
    private readonly results: ResultPacks,
  ) {}

  get farm(): Farm {
    return this.document;
  }

  /** As the page did to its own copy: both stay equal. */
  apply(edit: Edit): void {
    this.document = applyEdit(this.document, edit).farm;
    this.runner = null;
  }

  *study(): Generator<RunnerProgress, StudyRun, void> {
    const run = yield* studyFarm(this.currentRunner());
    this.figures = run.figures;
    this.usedKeys = run.usedKeys;
    return run;
  }

  /** One result of the farm as it is now; null where it is refused. Computed here where it is not known yet. */
  outcome<T>(step: StepId, scope: Scope): T | null {
    const work = this.currentRunner().outcome(step, scope);
    let turn = work.next();
    while (!turn.done) turn = work.next();
    return turn.value.ok ? (turn.value.value as T) : null;
  }

  /** For a quiet moment: results go to the disk, and those that the last study did not use are dropped. */
  async putAway(turn: () => Promise<void>): Promise<void> {
    await this.results.settle();
    await this.results.keepOnly(this.usedKeys, turn);
  }

  private currentRunner(): Runner {
    return (this.runner ??= startRunner(this.document, this.attachments, this.results));
  }
}
