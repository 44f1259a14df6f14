/** The farm that the worker has open: its document, its attachments and results, and what the last study of it told. */
import type { FigureBook } from '../../shared/analysis/formula.ts';
import { KeptDrives } from '../../shared/analysis/kept-drives.ts';
import { LiveStudy } from '../../shared/analysis/live-study.ts';
import type { RunnerProgress } from '../../shared/analysis/runner.ts';
import type { WeedScope } from '../../shared/analysis/quick-look.ts';
import { prepareField, shareFields } from '../../shared/analysis/spread.ts';
import type { Scope, StepId } from '../../shared/analysis/step.ts';
import type { WeedEvidence } from '../../shared/analysis/steps/evidence.ts';
import type { StudyEvent, StudyRun } from '../../shared/analysis/study.ts';
import { SolvedOrders } from '../../shared/harvest/order/solved-orders.ts';
import { applyEdit, type Edit } from '../../shared/model/edit.ts';
import type { Farm } from '../../shared/model/farm.ts';
import { speciesOf, studySeason } from '../../shared/model/lookups.ts';
import { type Besides, startBesides, type Task } from './besides.ts';
import type { Attachments } from './kept/attachments.ts';
import type { ResultPacks } from './kept/result-packs.ts';
import { driveInTurns, messageTurn } from './turns.ts';

/** A second computer costs the reading of the program once more. */
const WORTH_SPREADING_BYTES = 2 ** 22;
/** The page and its graphics take a core each: on two, a second computer was measured to make a study slower, not faster. */
const WORTH_SPREADING_THREADS = 4;
/** Two chains over fewer places are run here before another computer has read the program. */
const WORTH_SPREADING_PLACES = 120;

export interface Spread extends Besides {
  /** The share that is computed here. */
  readonly mine: Generator<RunnerProgress, void, void>;
}

/** A result that an answer rests on is still to be worked out. */
class NotYet extends Error {
  constructor(
    readonly step: StepId,
    readonly scope: Scope,
    readonly wanted: string,
  ) {
    super(`${step} is not worked out yet`);
  }
}

export class OpenFarm {
  /** Of the last complete study; null before the first. */
  figures: FigureBook | null = null;
  /** Keeps the files that are only in memory yet, and tells it; all who call wait for the same. */
  keepFiles: () => Promise<void> = () => Promise.resolve();
  /** By field: the numbers of its zones as they were asked for last. */
  readonly zoneFigures = new Map<string, FigureBook>();
  /** Of the field whose seed was followed last. */
  readonly drives = new KeptDrives();
  /** Seed traces asked for: the latest wins. */
  traces = 0;
  /** Of the order of harvest as it was asked for last, and orders found so far. */
  harvestFigures: FigureBook | null = null;
  readonly solvedOrders = new SolvedOrders();
  private readonly live: LiveStudy;
  private readonly turn = messageTurn();
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

  /** Shares a farm that nothing is known of with a second computer; null where that is not worth its start. */
  spread(season: number | null): Spread | null {
    const farm = this.document;
    const year = studySeason(farm);
    const fresh = this.results.isEmpty && (season === null || season === year);
    if (!fresh || year === null || speciesOf(farm).length === 0) return null;
    if (navigator.hardwareConcurrency < WORTH_SPREADING_THREADS) return null;
    const bytes = farm.files.reduce((sum, file) => sum + file.bytes, 0);
    const [mine = [], others = []] = shareFields(farm, 2);
    if (bytes < WORTH_SPREADING_BYTES || others.length === 0) return null;
    return { ...this.besides(year, { fields: others }), mine: this.prepare(mine, year) };
  }

  /** Shares chains that wait with a second computer, one of each pair; null where that is not worth its start. */
  spreadChains(weeds: readonly WeedScope[]): Spread | null {
    const places = weeds.reduce((sum, weed) => sum + this.placesOf(weed), 0);
    if (places < WORTH_SPREADING_PLACES || navigator.hardwareConcurrency < 2) return null;
    return { ...this.besides(weeds[0]!.season, { chainsOf: weeds }), mine: this.firstChains(weeds) };
  }

  private besides(season: number, share: Task['share']): Besides {
    const task = { farm: this.document, season, attachments: this.attachments.blobs, share };
    return startBesides(task, (key, bytes) => this.results.write(key, bytes));
  }

  private placesOf(weed: WeedScope): number {
    return this.outcome<WeedEvidence>('evidence', weed)?.seen?.places.length ?? 0;
  }

  private *firstChains(weeds: readonly WeedScope[]): Generator<RunnerProgress, void, void> {
    for (const weed of weeds) yield* this.live.outcome('latent-chain', { ...weed, chain: 0 });
  }

  private *prepare(fields: readonly string[], season: number): Generator<RunnerProgress, void, void> {
    this.begin(null);
    for (const field of fields) yield* prepareField(this.live, field, season, ['central']);
  }

  /** What can be told before the long work. @returns the weeds whose chains wait @param season null: the last one with records */
  *sight(season: number | null): Generator<StudyEvent, WeedScope[], void> {
    this.looked = { farm: this.document, season };
    // What was told of the farm before is nearer to the truth than a first look.
    const firstLook = this.figures === null;
    return yield* this.live.sight(this.document, season === null ? { firstLook } : { season, firstLook });
  }

  /** After a look at it. @param season null: the last one with records */
  *study(season: number | null): Generator<StudyEvent, StudyRun, void> {
    this.looked = { farm: this.document, season };
    const isSighted = true;
    const run = yield* this.live.study(this.document, season === null ? { isSighted } : { season, isSighted });
    this.figures = run.figures;
    this.usedKeys.set(season, run.usedKeys);
    return run;
  }

  /** One result of the farm as it is now; null where it is refused. Computed here where it is not known yet. */
  outcome<T>(step: StepId, scope: Scope): T | null {
    if (this.looked?.farm !== this.document) this.begin(this.looked?.season ?? null);
    const work = this.live.outcome(step, scope);
    let turn = work.next();
    while (!turn.done) turn = work.next();
    return turn.value.ok ? (turn.value.value as T) : null;
  }

  /**
   * The same for an answer that rests on results which take long: other questions are heard in between. `make` is called again for each
   * result that it asked for and that was not there yet.
   */
  async inTurns<T>(make: (result: <R>(step: StepId, scope: Scope) => R | null) => T): Promise<T> {
    const known = new Map<string, unknown>();
    const result = <R>(step: StepId, scope: Scope): R | null => {
      const name = JSON.stringify([step, scope]);
      if (!known.has(name)) throw new NotYet(step, scope, name);
      return known.get(name) as R | null;
    };
    for (;;) {
      try {
        return make(result);
      } catch (error) {
        if (!(error instanceof NotYet)) throw error;
        known.set(error.wanted, await this.worked(error.step, error.scope));
      }
    }
  }

  /** Long work of an answer's own, while other questions are heard. */
  async driven<T>(work: Generator<unknown, T, void>): Promise<T> {
    return (await this.drivenUnless(
      work,
      () => false,
      () => undefined,
    )) as T;
  }

  /** The same for work that another question may overtake. @returns null where it was stopped */
  drivenUnless<P, T>(
    work: Generator<P, T, void>,
    stopped: () => boolean,
    onProgress: (progress: P) => void,
  ): Promise<T | null> {
    return driveInTurns(work, { stopped, onProgress, now: () => performance.now(), turn: this.turn });
  }

  private async worked(step: StepId, scope: Scope): Promise<unknown> {
    if (this.looked?.farm !== this.document) this.begin(this.looked?.season ?? null);
    const outcome = await this.driven(this.live.outcome(step, scope));
    return outcome.ok ? outcome.value : null;
  }

  /** A study that was only begun knows the document; what is asked for is computed then. */
  private begin(season: number | null): void {
    this.study(season).next();
  }

  /** For a quiet moment: what a rating of a field that nobody looked at will need, so that its ranking is there at once. */
  ahead(): Generator<RunnerProgress, void, void> {
    return this.live.ahead();
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

  /** Files are kept first. From then on nothing is written; what is asked is answered from memory and from what is there. */
  async close(): Promise<void> {
    await this.keepFiles();
    await this.results.close();
  }
}
