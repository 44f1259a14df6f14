/** What was made of results is made again only where one of the results, or a fact, is another. */
import { type FieldFacts, sameFacts } from './field-facts.ts';
import type { Runner, RunnerProgress } from './runner.ts';
import type { Scope, StepId } from './step.ts';

/** The value of one result; null where it was refused. */
export type Want = <T>(step: StepId, scope: Scope) => Generator<RunnerProgress, T | null, void>;

interface Made {
  readonly facts: FieldFacts;
  readonly value: unknown;
  /** The results that were asked for, in order: what is asked for may hang on what was found. */
  readonly asked: readonly { readonly step: StepId; readonly scope: Scope; readonly key: string }[];
}

export function wantOf(runner: Runner): Want {
  return function* <T>(step: StepId, scope: Scope) {
    const outcome = yield* runner.outcome(step, scope);
    return outcome.ok ? (outcome.value as T) : null;
  };
}

/** Beyond this many things the one that was used longest ago is forgotten. */
const MOST_THINGS = 1000;

export class Remembered {
  private readonly known = new Map<string, Made>();

  /** The thing of that name, made only where the facts or one of the results that it was made from changed. */
  *of<T>(
    runner: Runner,
    name: string,
    facts: FieldFacts,
    make: (want: Want) => Generator<RunnerProgress, T, void>,
  ): Generator<RunnerProgress, T, void> {
    const known = this.known.get(name);
    this.known.delete(name);
    if (known && sameFacts(known.facts, facts) && (yield* isFresh(runner, known))) {
      this.known.set(name, known);
      return known.value as T;
    }
    const asked: Made['asked'][number][] = [];
    const plain = wantOf(runner);
    const want: Want = function* <V>(step: StepId, scope: Scope) {
      asked.push({ step, scope, key: yield* runner.key(step, scope) });
      return yield* plain<V>(step, scope);
    };
    const value = yield* make(want);
    this.known.set(name, { facts, value, asked });
    for (const oldest of this.known.keys()) {
      if (this.known.size <= MOST_THINGS) break;
      this.known.delete(oldest);
    }
    return value;
  }
}

function* isFresh(runner: Runner, { asked }: Made): Generator<RunnerProgress, boolean, void> {
  for (const { step, scope, key } of asked) if ((yield* runner.key(step, scope)) !== key) return false;
  return true;
}
