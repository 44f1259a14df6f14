/**
 * Runs what is stale and reuses the rest. The key of a result is the SHA-256 of step, version, scope, settings, parameter values and
 * of what its needs are seen as: no dates, no dirty flags. A step keyed by content lends its dependents the hash of its result, so
 * that a changed count in one field stops there. A key is told before the result is computed, and only what is asked for is.
 */
import type { Farm } from '../model/farm.ts';
import { done, type Outcome, type Problem, refused } from '../model/problem.ts';
import { digestOfJson } from './digest.ts';
import type { Memory } from './memory.ts';
import type { Plan, PlannedNeed, Planner } from './planner.ts';
import type { FileDoor, Progress, Scope, StepId } from './step.ts';

export interface RunnerProgress {
  readonly step: StepId;
  readonly title: string;
  readonly scope: Scope;
  readonly done: number;
  readonly total: number;
}

interface Entry {
  readonly plan: Plan;
  readonly key: string;
  /** What dependents put into their own keys. */
  readonly seenAs: string;
}

export interface RunCount {
  ran: number;
  reused: number;
}

export class Runner {
  /** By step: how many results were computed, and how many were known. */
  readonly counts = new Map<StepId, RunCount>();
  /** Parameters without a value of their own that the results of this run rest on. */
  readonly borrowedParameters = new Set<string>();
  /** Keys that this run used or made: a host may drop the others from its store. */
  readonly usedKeys = new Set<string>();
  private readonly entries = new Map<string, Entry>();
  /** Those that the results rest on for certain: their problems are told, in this order. */
  private readonly told = new Map<string, Entry>();

  constructor(
    readonly farm: Farm,
    private readonly planner: Planner,
    private readonly door: FileDoor,
    private readonly memory: Memory,
    /** What was found amiss in the document itself. */
    private readonly ofTheDocument: readonly Problem[] = [],
  ) {}

  /** The outcome of one step in one scope, computed only if it is not known yet. */
  *outcome(id: StepId, scope: Scope): Generator<RunnerProgress, Outcome<unknown>, void> {
    return yield* this.outcomeOf(yield* this.entryOf(this.planner.plan(this.farm, id, scope)));
  }

  /** Whether that outcome can be had without computing it. */
  *isKnown(id: StepId, scope: Scope): Generator<RunnerProgress, boolean, void> {
    return this.memory.has(yield* this.key(id, scope));
  }

  /** The key of that outcome, without computing it. */
  *key(id: StepId, scope: Scope): Generator<RunnerProgress, string, void> {
    return (yield* this.entryOf(this.planner.plan(this.farm, id, scope))).key;
  }

  /** Writes what this run used and the store lacks. */
  *save(): Generator<readonly [done: number, total: number], void, void> {
    yield* this.memory.save(this.usedKeys);
  }

  /** Results that another computer of the same store made for this run: computed, not found. */
  addComputedElsewhere(counts: Readonly<Partial<Record<StepId, number>>>): void {
    for (const [id, ran] of Object.entries(counts)) {
      const count = this.countOf(id as StepId);
      const moved = Math.min(ran, count.reused);
      count.ran += moved;
      count.reused -= moved;
    }
  }

  /** Problems of every result that this run rests on, each once. They are kept as a result: none of the others is read for them again. */
  *problems(): Generator<RunnerProgress, Problem[], void> {
    // Whatever ran first, or on another core: the same farm tells the same in the same order.
    const entries = [...this.told].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, entry]) => entry);
    const key = digestOfJson({ problemsOf: entries.map((entry) => entry.key) });
    this.usedKeys.add(key);
    const known = this.memory.problemsOf(key);
    if (known) return [...this.ofTheDocument, ...known];
    const found = yield* this.problemsOf(entries);
    this.memory.keep(key, done(null, found), false);
    return [...this.ofTheDocument, ...found];
  }

  private *problemsOf(entries: readonly Entry[]): Generator<RunnerProgress, Problem[], void> {
    const byText = new Map<string, Problem>();
    for (const entry of entries) {
      const problems = this.memory.problemsOf(entry.key) ?? (yield* this.outcomeOf(entry)).problems;
      for (const one of problems) {
        const text = JSON.stringify(one);
        if (!byText.has(text)) byText.set(text, one);
      }
    }
    return [...byText.values()];
  }

  /** Without turns, as nearly always after an edit: null where the hash of a result is to be computed first. */
  private entryNow(plan: Plan, maybe: boolean): Entry | null {
    const known = (maybe ? this.entries : this.told).get(plan.name);
    if (known) return known;
    for (const id of plan.borrowed) this.borrowedParameters.add(id);
    const seen: string[] = [];
    for (const { of, isLazy } of plan.needs) {
      for (const need of of) {
        if ('file' in need) seen.push(this.fileKey(need.file));
        else {
          const doubtful = maybe || isLazy;
          const entry =
            (doubtful ? this.entries : this.told).get(need.name) ??
            this.entryNow(this.planner.planned(this.farm, need), doubtful);
          if (!entry) return null;
          seen.push(entry.seenAs);
        }
      }
    }
    const entry = this.entries.get(plan.name) ?? this.newEntryNow(plan, plan.keyWith(seen));
    if (entry && !maybe) this.told.set(plan.name, entry);
    return entry;
  }

  private newEntryNow(plan: Plan, key: string): Entry | null {
    const seenAs = plan.step.key === 'inputs' ? key : this.memory.seenAs(key);
    if (seenAs === null) return null;
    this.use(plan, key);
    return this.enter({ plan, key, seenAs });
  }

  private use(plan: Plan, key: string): void {
    this.usedKeys.add(key);
    if (this.memory.has(key)) this.countOf(plan.step.id).reused++;
  }

  private enter(entry: Entry): Entry {
    this.entries.set(entry.plan.name, entry);
    return entry;
  }

  /** @param maybe whether it is asked for at all is not known yet */
  private *entryOf(plan: Plan, maybe = false): Generator<RunnerProgress, Entry, void> {
    const known = this.entryNow(plan, maybe);
    if (known) return known;
    const seen: string[] = [];
    for (const { of, isLazy } of plan.needs) {
      for (const need of of) {
        if ('file' in need) seen.push(this.fileKey(need.file));
        else {
          const doubtful = maybe || isLazy;
          const entry = (doubtful ? this.entries : this.told).get(need.name);
          seen.push((entry ?? (yield* this.entryOf(this.planner.planned(this.farm, need), doubtful))).seenAs);
        }
      }
    }
    const entry = this.entries.get(plan.name) ?? (yield* this.newEntry(plan, plan.keyWith(seen)));
    if (!maybe) this.told.set(plan.name, entry);
    return entry;
  }

  private *newEntry(plan: Plan, key: string): Generator<RunnerProgress, Entry, void> {
    this.use(plan, key);
    return this.enter({ plan, key, seenAs: plan.step.key === 'inputs' ? key : yield* this.contentOf(plan, key) });
  }

  private *contentOf(plan: Plan, key: string): Generator<RunnerProgress, string, void> {
    const known = this.memory.seenAs(key);
    if (known !== null) return known;
    yield* this.compute(plan, key);
    return this.memory.seenAs(key)!;
  }

  private *outcomeOf({ plan, key }: Entry): Generator<RunnerProgress, Outcome<unknown>, void> {
    return this.memory.outcome(key) ?? (yield* this.compute(plan, key));
  }

  private compute(plan: Plan, key: string): Generator<RunnerProgress, Outcome<unknown>, void> {
    return this.memory.underWay.drive(key, () => this.computed(plan, key));
  }

  private *computed(plan: Plan, key: string): Generator<RunnerProgress, Outcome<unknown>, void> {
    const outcome = yield* this.run(plan);
    this.countOf(plan.step.id).ran++;
    this.memory.keep(key, outcome, plan.step.key === 'content');
    return outcome;
  }

  private *run({ step, scope, settings, needs, p }: Plan): Generator<RunnerProgress, Outcome<unknown>, void> {
    const got: Record<string, unknown> = {};
    for (const { word, isList, isLazy, of } of needs) {
      if (isLazy) {
        got[word] = () => this.asked(of[0]!);
        continue;
      }
      const may = step.optional?.includes(word) ?? false;
      const list: unknown[] = [];
      for (const one of of) {
        const value = yield* this.needValue(one);
        if (value === REFUSED && !may) return refused();
        list.push(value === REFUSED ? null : value);
      }
      got[word] = isList ? list : list[0];
    }
    const running = step.run({ settings, needs: got, p, scope });
    for (;;) {
      const turn = running.next();
      if (turn.done) return turn.value;
      const progress: Progress | RunnerProgress = turn.value;
      // A lazy need that the step asks for tells of itself.
      if (isOfNeed(progress)) yield progress;
      else yield { step: step.id, title: step.title, scope, done: progress[0], total: progress[1] };
    }
  }

  private *asked(need: PlannedNeed): Generator<RunnerProgress, unknown, void> {
    const value = yield* this.needValue(need);
    return value === REFUSED ? null : value;
  }

  private fileKey(id: string): string {
    const file = this.farm.files.find((one) => one.id === id);
    const there = file !== undefined && this.door.open(file.sha256, file.name) !== null;
    // A file that comes back after it was missed gives another key, so that nothing rests on its absence.
    return there ? file.sha256 : `missing ${id}`;
  }

  private *needValue(need: PlannedNeed): Generator<RunnerProgress, unknown, void> {
    if ('file' in need) {
      const file = this.farm.files.find((one) => one.id === need.file);
      return (file && this.door.open(file.sha256, file.name)) ?? REFUSED;
    }
    const entry = this.entries.get(need.name) ?? (yield* this.entryOf(this.planner.planned(this.farm, need)));
    const outcome = yield* this.outcomeOf(entry);
    return outcome.ok ? outcome.value : REFUSED;
  }

  private countOf(id: StepId): RunCount {
    const count = this.counts.get(id) ?? { ran: 0, reused: 0 };
    this.counts.set(id, count);
    return count;
  }
}

const REFUSED = Symbol('refused');

function isOfNeed(progress: Progress | RunnerProgress): progress is RunnerProgress {
  return 'step' in progress;
}
