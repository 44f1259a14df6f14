/** The farm that the worker has open: its document, its attachments and results, and what the last study of it told. */
import type { FigureBook } from '../../shared/analysis/formula.ts';
import type { Runner, RunnerProgress } from '../../shared/analysis/runner.ts';
import type { FileDoor, ResultStore, Scope, StepId } from '../../shared/analysis/step.ts';
import { startRunner, studyFarm, type StudyRun } from '../../shared/analysis/study.ts';
import { applyEdit, type Edit } from '../../shared/model/edit.ts';
import type { Farm } from '../../shared/model/farm.ts';

export class OpenFarm {
  /** Of the last complete study; null before the first. */
  figures: FigureBook | null = null;
  private runner: Runner | null = null;

  constructor(
    private document: Farm,
    readonly door: FileDoor,
    private readonly results: ResultStore,
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
    return run;
  }

  /** One result of the farm as it is now; null where it is refused. Computed here where it is not known yet. */
  outcome<T>(step: StepId, scope: Scope): T | null {
    const work = this.currentRunner().outcome(step, scope);
    let turn = work.next();
    while (!turn.done) turn = work.next();
    return turn.value.ok ? (turn.value.value as T) : null;
  }

  private currentRunner(): Runner {
    return (this.runner ??= startRunner(this.document, this.door, this.results));
  }
}
