/**
 * A farm studied again and again while it is edited. Whoever applies the edits holds one of these: results, keys and whole fields
 * are carried over where nothing that they rest on changed, so that an edit costs what it changes.
 */
import { applyEdit } from '../model/edit.ts';
import { rateField, RATINGS } from '../model/edits/ratings.ts';
import type { Farm, Field } from '../model/farm.ts';
import { harvestOf, speciesOf, studySeason } from '../model/lookups.ts';
import type { Outcome } from '../model/problem.ts';
import { type Case, CASES } from '../model/range.ts';
import { firstLookSteps } from './first-look-steps.ts';
import { withKnownNames } from './known-names.ts';
import { Memory } from './memory.ts';
import { Planner } from './planner.ts';
import { Remembered } from './remembered.ts';
import { Runner, type RunnerProgress } from './runner.ts';
import { waitingWeeds, type WeedScope, withQuickLooks } from './quick-look.ts';
import type { FileDoor, ResultStore, Scope, Step, StepId } from './step.ts';
import { steps } from './steps.ts';
import { rankSeason, type StudyEvent, type StudyRun, studySeasonOf } from './study.ts';

/** Each costs as much as a rating, and holds results in memory. */
const MOST_TRIED = 3;

export interface StudyWishes {
  /** Default: the last season with records. What was not recorded in an earlier one is unknown, and nothing is chosen for it. */
  readonly season?: number | null;
  /** Where logs are not retraced yet, first a ranking as if all seed had stayed where it grew, which says so. */
  readonly firstLook?: boolean;
  /** `sight` was run just before: its ranking is not told again. */
  readonly isSighted?: boolean;
}

interface Studied {
  readonly farm: Farm;
  readonly season: number | null;
  readonly runner: Runner;
  /** For questions in between: what they touch is not the study's. */
  readonly asking: Runner;
}

export class LiveStudy {
  private readonly planner = new Planner(steps);
  private readonly memory: Memory;
  private readonly remembered = new Remembered();
  private studied: Studied | null = null;
  private looking: { readonly name: string; readonly planner: Planner } | null = null;

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
   * Yields progress and, as soon as it is certain, the ranking; returns the study. Parts of the farm that an edit did not change should
   * be the same objects as before (`applyEdit` keeps them so): others are looked at anew.
   */
  *study(farm: Farm, wishes: StudyWishes = {}): Generator<StudyEvent, StudyRun, void> {
    const season = seasonOf(farm, wishes);
    if (!wishes.isSighted) yield* this.sight(farm, wishes);
    const runner = this.runnerOf(farm);
    this.studied = { farm, season, runner, asking: this.runnerOf(farm) };
    return yield* studySeasonOf(runner, season, this.remembered);
  }

  /**
   * What can be told before the long work: yields a ranking where logs wait to be retraced, or chains of counts to be run. @returns the
   * weeds whose chains wait
   */
  *sight(farm: Farm, wishes: StudyWishes = {}): Generator<StudyEvent, WeedScope[], void> {
    const season = seasonOf(farm, wishes);
    if (season === null) return [];
    const runner = this.runnerOf(farm);
    this.studied = { farm, season, runner, asking: this.runnerOf(farm) };
    const waiting = yield* waitingWeeds(runner, season);
    const seedStays = wishes.firstLook === true && (yield* logsWait(runner, season));
    if (!seedStays && waiting.length === 0) return waiting;
    const looks = withQuickLooks(seedStays ? firstLookSteps : steps, waiting);
    // Plans and fields of its own: those of the study itself are not to be made twice.
    const looking = this.runnerOf(farm, this.plannerOf(looks, `${seedStays} ${JSON.stringify(waiting)}`));
    const ranking = yield* rankSeason(looking, season, new Remembered(), { seedStays, quickMaps: waiting.length > 0 });
    if (ranking) yield { ranking };
    return waiting;
  }

  /** The last one serves again where the same is looked at in the same way: a place counted after the other. */
  private plannerOf(looks: Readonly<Record<StepId, Step>>, name: string): Planner {
    if (this.looking?.name !== name) this.looking = { name, planner: new Planner(looks) };
    return this.looking.planner;
  }

  /** One result of the farm that was studied last, computed if it is not known; it leaves no trace in the study. */
  *outcome(step: StepId, scope: Scope): Generator<RunnerProgress, Outcome<unknown>, void> {
    return yield* this.last().asking.outcome(step, scope);
  }

  /**
   * For a quiet moment: what a rating of a field that nobody looked at will need. For the first of these fields each word is
   * tried: the seed that it means rides with the machine to the fields after it. The ranking's part comes first, then the ranges'.
   */
  *ahead(): Generator<RunnerProgress, void, void> {
    const { farm, season } = this.last();
    const [species] = speciesOf(farm);
    if (season === null || species === undefined) return;
    const unlooked = yield* this.unlooked(season);
    for (const field of unlooked) yield* this.readyFor(field, season, 'central');
    const planner = new Planner(steps);
    for (const field of unlooked.slice(0, MOST_TRIED)) {
      for (const rating of RATINGS.filter((word) => word !== 'not looked')) {
        const edit = rateField(farm, { field, species: { id: species, name: species }, rating, season, on: null });
        const trying = this.runnerOf(applyEdit(farm, edit).farm, planner);
        yield* rankSeason(trying, season, new Remembered(), { seedStays: false, quickMaps: false });
      }
    }
    for (const field of unlooked) {
      for (const which of CASES) if (which !== 'central') yield* this.readyFor(field, season, which);
    }
  }

  /** Fields of ours that nobody looked at in the season. */
  private *unlooked(season: number): Generator<RunnerProgress, Field[], void> {
    const { farm, asking } = this.last();
    const found: Field[] = [];
    for (const field of farm.fields.filter((one) => one.ours)) {
      const seed = yield* asking.outcome('seed-return', { field: field.id, season, case: 'central' });
      if (seed.ok && !(seed.value as { looked: boolean }).looked) found.push(field);
    }
    return found;
  }

  /** What hangs on a field but on nothing that was seen there. */
  private *readyFor(field: Field, season: number, which: Case): Generator<RunnerProgress, void, void> {
    const { farm, asking } = this.last();
    const scope = { field: field.id, season, case: which };
    yield* asking.outcome('movement-even', scope);
    for (const program of farm.programs) yield* asking.outcome('program-effect', { ...scope, program: program.id });
  }

  /** For a quiet moment: writes what the last study used and the store lacks. */
  *save(): Generator<readonly [done: number, total: number], void, void> {
    yield* this.last().runner.save();
  }

  private last(): Studied {
    if (!this.studied) throw new Error('LiveStudy: no farm was studied yet');
    return this.studied;
  }

  private runnerOf(farm: Farm, planner = this.planner): Runner {
    const { farm: usable, problems } = withKnownNames(farm);
    return new Runner(usable, planner, this.door, this.memory, problems);
  }
}

function seasonOf(farm: Farm, { season }: StudyWishes): number | null {
  return season === undefined ? studySeason(farm) : season;
}

/** Whether a log of the season is still to be retraced. */
function* logsWait(runner: Runner, season: number): Generator<RunnerProgress, boolean, void> {
  for (const { id } of runner.farm.fields) {
    if (harvestOf(runner.farm, id, season).files.length === 0) continue;
    if (!(yield* runner.isKnown('harvest-path', { field: id, season }))) return true;
  }
  return false;
}
