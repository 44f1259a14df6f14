/**
 * Runs what is stale and reuses the rest. The key of a result is the SHA-256 of the canonical JSON of step, version, scope,
 * settings, parameter values and the keys of its needs: no dates, no dirty flags. A step keyed by content lends its dependents
 * the hash of its result, so that a changed count in one field stops there.
 */
import { resolveParameters } from '../agronomy/parameter.ts';
import type { Farm } from '../model/farm.ts';
import { type Outcome, type Problem, refused } from '../model/problem.ts';
import { decode, encode } from './encode.ts';
import { digestOf, digestOfJson } from './digest.ts';
import type { FileDoor, Need, ResultStore, Scope, Step, StepId, Values } from './step.ts';

export interface RunnerProgress {
  readonly step: StepId;
  readonly title: string;
  readonly scope: Scope;
  readonly done: number;
  readonly total: number;
}

interface Entry {
  /** What dependents put into their own keys. */
  readonly seenAs: string;
  outcome: Outcome<unknown> | null;
  readonly key: string;
}

export interface RunCount {
  ran: number;
  reused: number;
}

export class Runner {
  /** By step: how many results were computed, and how many taken from the store. */
  readonly counts = new Map<StepId, RunCount>();
  /** Ids of the parameters that the results of this run rest on. */
  readonly usedParameters = new Set<string>();
  /** Keys of the store that this run used or made: a host may drop the others. */
  readonly usedKeys = new Set<string>();
  private readonly entries = new Map<string, Entry>();

  constructor(
    readonly farm: Farm,
    private readonly steps: Readonly<Record<StepId, Step>>,
    private readonly door: FileDoor,
    private readonly store: ResultStore,
    /** What was found amiss in the document itself. */
    private readonly ofTheDocument: readonly Problem[] = [],
  ) {}

  /** The outcome of one step in one scope, computed only if it is not known yet. */
  *outcome(id: StepId, scope: Scope): Generator<RunnerProgress, Outcome<unknown>, void> {
    const entry = yield* this.entryOf(id, scope);
    if (entry.outcome === null) entry.outcome = this.load(entry.key).outcome;
    return entry.outcome;
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

  /** Problems of every result that this run touched, each once. */
  problems(): Problem[] {
    const seen = new Set<string>();
    const list: Problem[] = [...this.ofTheDocument];
    for (const entry of this.entries.values()) {
      const outcome = entry.outcome ?? this.load(entry.key).outcome;
      for (const one of outcome.problems) {
        const text = JSON.stringify(one);
        if (!seen.has(text)) list.push(one);
        seen.add(text);
      }
    }
    return list;
  }

  private *entryOf(id: StepId, given: Scope): Generator<RunnerProgress, Entry, void> {
    const step = this.steps[id];
    const scope = narrow(step, given);
    const name = `${id} ${digestable(scope)}`;
    const known = this.entries.get(name);
    if (known) return known;

    const settings = step.settings(this.farm, scope);
    const needs = step.needs(this.farm, scope);
    const p = this.parametersOf(step, scope);
    const needKeys: Record<string, string | string[]> = {};
    for (const [word, need] of Object.entries(needs)) {
      if (Array.isArray(need)) {
        const keys: string[] = [];
        for (const one of need as readonly Need[]) keys.push(yield* this.needKey(one));
        needKeys[word] = keys;
      } else needKeys[word] = yield* this.needKey(need as Need);
    }
    const key = digestOfJson({ id, version: step.version, scope, settings, p, needs: needKeys });
    this.usedKeys.add(key);
    const count = this.countOf(id);

    if (this.store.has(key)) {
      count.reused++;
      // A result keyed by its inputs is read only when it is asked for.
      const { seenAs, outcome } = step.key === 'content' ? this.load(key) : { seenAs: key, outcome: null };
      return this.remember(name, { key, seenAs, outcome });
    }
    const outcome = yield* this.compute(step, scope, settings, needs, p);
    count.ran++;
    const body = encode(outcome);
    const seenAs = step.key === 'content' ? digestOf(body) : key;
    this.store.write(key, pack(seenAs, body));
    return this.remember(name, { key, seenAs, outcome });
  }

  private *compute(
    step: Step,
    scope: Scope,
    settings: unknown,
    needs: ReturnType<Step['needs']>,
    p: Values,
  ): Generator<RunnerProgress, Outcome<unknown>, void> {
    const got: Record<string, unknown> = {};
    for (const [word, need] of Object.entries(needs)) {
      const may = step.optional?.includes(word) ?? false;
      if (Array.isArray(need)) {
        const list: unknown[] = [];
        for (const one of need as readonly Need[]) {
          const value = yield* this.needValue(one);
          if (value === REFUSED && !may) return refused();
          list.push(value === REFUSED ? null : value);
        }
        got[word] = list;
      } else {
        const value = yield* this.needValue(need as Need);
        if (value === REFUSED && !may) return refused();
        got[word] = value === REFUSED ? null : value;
      }
    }
    const running = step.run({ settings, needs: got, p, scope });
    for (;;) {
      const turn = running.next();
      if (turn.done) return turn.value;
      yield { step: step.id, title: step.title, scope, done: turn.value[0], total: turn.value[1] };
    }
  }

  private *needKey(need: Need): Generator<RunnerProgress, string, void> {
    if ('file' in need) {
      const file = this.farm.files.find((one) => one.id === need.file);
      const there = file !== undefined && this.door.open(file.sha256, file.name) !== null;
      // A file that comes back after it was missed gives another key, so that nothing rests on its absence.
      return there ? file.sha256 : `missing ${need.file}`;
    }
    return (yield* this.entryOf(need.step, need.scope)).seenAs;
  }

  private *needValue(need: Need): Generator<RunnerProgress, unknown, void> {
    if ('file' in need) {
      const file = this.farm.files.find((one) => one.id === need.file);
      return (file && this.door.open(file.sha256, file.name)) ?? REFUSED;
    }
    const outcome = yield* this.outcome(need.step, need.scope);
    return outcome.ok ? outcome.value : REFUSED;
  }

  private parametersOf(step: Step, scope: Scope): Values {
    const ids = step.parameters?.(this.farm, scope) ?? [];
    for (const id of ids) this.usedParameters.add(id);
    return ids.length === 0 ? {} : resolveParameters(ids, scope.case ?? 'central', this.farm.ownValues);
  }

  private remember(name: string, entry: Entry): Entry {
    this.entries.set(name, entry);
    return entry;
  }

  private load(key: string): { seenAs: string; outcome: Outcome<unknown> } {
    const bytes = this.store.read(key);
    if (!bytes) throw new Error('Runner: a stored result went away while it was needed');
    return unpack(bytes);
  }

  private countOf(id: StepId): RunCount {
    const count = this.counts.get(id) ?? { ran: 0, reused: 0 };
    this.counts.set(id, count);
    return count;
  }
}

const REFUSED = Symbol('refused');

/** Only the dimensions that the step is computed per. */
function narrow(step: Step, scope: Scope): Scope {
  const kept: Record<string, unknown> = {};
  for (const dimension of step.per) {
    if (scope[dimension] === undefined) throw new Error(`step ${step.id} needs a ${dimension} in its scope`);
    kept[dimension] = scope[dimension];
  }
  return kept as Scope;
}

function digestable(scope: Scope): string {
  return Object.entries(scope)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([word, value]) => `${word}=${value}`)
    .join(' ');
}

const HEX = 64;
function pack(seenAs: string, body: Uint8Array): Uint8Array {
  const bytes = new Uint8Array(HEX + body.length);
  bytes.set(new TextEncoder().encode(seenAs), 0);
  bytes.set(body, HEX);
  return bytes;
}
function unpack(bytes: Uint8Array): { seenAs: string; outcome: Outcome<unknown> } {
  return {
    seenAs: new TextDecoder().decode(bytes.subarray(0, HEX)),
    outcome: decode(bytes.subarray(HEX)) as Outcome<unknown>,
  };
}
