/**
 * A farm studied again and again while it is edited. Whoever applies the edits holds one of these: results, keys and whole fields
 * are carried over where nothing that they rest on changed, so that an edit costs what it changes.
 */
import type { Farm } from '../model/farm.ts';
import { studySeason } from '../model/lookups.ts';
import type { Outcome } from '../model/problem.ts';
import { withKnownNames } from './known-names.ts';
import { Memory } from './memory.ts';
import { Planner } from './planner.ts';
import { Remembered } from './remembered.ts';
import { Runner, type RunnerProgress } from './runner.ts';
import type { FileDoor, ResultStore, Scope, StepId } from './step.ts';
import { steps } from './steps.ts';
import { type StudyEvent, type StudyRun, studySeasonOf } from './study.ts';

export interface StudyWishes {
  /** Default: the last season with records. */
  readonly season?: number | null;
}

export class LiveStudy {
  private readonly planner = new Planner(steps);
  private readonly memory: Memory;
  private readonly remembered = new Remembered();
  private current: Runner | null = null;

  /** @param limitBytes results held decoded beyond this give way to the store */
  constructor(
    private readonly door: FileDoor,
    store: ResultStore,
    limitBytes?: number,
  ) {
    this.memory = new Memory(store, limitBytes);
  }

  /** Bytes of the results that are held decoded. */
  get heldBytes(): number {
    return this.memory.heldBytes;
  }

  /**
   * Yields progress, once the ranking as soon as it is certain, and returns the study. Sub-objects of the farm that an edit did not
   * change should be the same objects as before (`applyEdit` keeps them so): others are looked at anew.
   */
  *study(farm: Farm, { season }: StudyWishes = {}): Generator<StudyEvent, StudyRun, void> {
    this.current = this.runnerOf(farm);
    const year = season === undefined ? studySeason(farm) : season;
    return yield* studySeasonOf(this.runnerOf(farm), year, this.remembered);
  }

  /** One result of the farm that was studied last. */
  *outcome(step: StepId, scope: Scope): Generator<RunnerProgress, Outcome<unknown>, void> {
    if (!this.current) throw new Error('LiveStudy: no farm was studied yet');
    return yield* this.current.outcome(step, scope);
  }

  /** Writes to the store what it lacks: for a quiet moment. */
  *save(): Generator<readonly [done: number, total: number], void, void> {
    yield* this.memory.save();
  }

  private runnerOf(farm: Farm): Runner {
    const { farm: usable, problems } = withKnownNames(farm);
    return new Runner(usable, this.planner, this.door, this.memory, problems);
  }
}
