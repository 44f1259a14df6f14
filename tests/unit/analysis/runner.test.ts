import { describe, expect, test } from 'vitest';
import { Memory } from '../../../shared/analysis/memory.ts';
import { memoryStore } from '../../../shared/analysis/memory-store.ts';
import { Planner } from '../../../shared/analysis/planner.ts';
import { Runner } from '../../../shared/analysis/runner.ts';
import type { Ask, FileDoor, Need, ResultStore, Scope, Step, StepId } from '../../../shared/analysis/step.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import { done, type Outcome, problem, refused } from '../../../shared/model/problem.ts';
import { sourceOf } from '../../support/bundle.ts';
import { drive } from '../../support/import-text.ts';

/**
 * Invented steps under the names of real ones: a reading of the farm's file, a part of it a field, and a sum over the fields.
 * "field" is keyed by content: the sum sees only what it gives.
 */
const farm: Farm = {
  ...emptyFarm('farm', 'Farm'),
  files: [
    {
      id: 'f',
      sha256: 'a'.repeat(64),
      name: 'f.csv',
      bytes: 1,
      kind: 'scouting',
      reading: { importer: 'x', columns: {} },
    },
  ],
};
const door: FileDoor = { open: (_sha256, name) => sourceOf(name, 'x') };
const noDoor: FileDoor = { open: () => null };

interface Wishes {
  readonly give?: (field: string) => Outcome<number>;
  readonly key?: 'content' | 'inputs';
  readonly version?: number;
  readonly settings?: (field: string) => unknown;
  readonly optional?: readonly string[];
}
function invented({
  give = () => done(7),
  key = 'content',
  version = 1,
  settings = (field) => ({ field }),
  optional = [],
}: Wishes = {}) {
  const ran: string[] = [];
  const step = (id: StepId, more: Partial<Step>): Step => ({
    id,
    title: id,
    version: 1,
    per: [],
    key: 'inputs',
    settings: () => ({}),
    needs: () => ({}),
    *run() {
      yield [0, 1];
      ran.push(id);
      return done(1);
    },
    ...more,
  });
  const fields = ['a', 'b'];
  const steps = {
    records: step('records', { needs: () => ({ file: { file: 'f' } }), optional: ['file'] }),
    field: step('field', {
      per: ['field'],
      key,
      version,
      settings: (_farm, scope) => settings(scope.field!),
      needs: () => ({ records: { step: 'records', scope: {} } }),
      *run({ scope }) {
        yield [0, 2];
        yield [1, 2];
        ran.push(`field ${scope.field}`);
        return give(scope.field!);
      },
    }),
    priority: step('priority', {
      needs: () => ({ fields: fields.map((field): Need => ({ step: 'field', scope: { field } })) }),
      optional,
      *run({ needs }) {
        yield [0, 1];
        ran.push('priority');
        return done((needs['fields'] as (number | null)[]).reduce<number>((sum, one) => sum + (one ?? 0), 0));
      },
    }),
  } as unknown as Record<StepId, Step>;
  return { steps, ran };
}
const runnerOf = (steps: Record<StepId, Step>, of: { door?: FileDoor; store?: ResultStore } = {}) =>
  new Runner(farm, new Planner(steps), of.door ?? door, new Memory(of.store ?? memoryStore()));
/** Runs a step as the command line does: what the store lacks is written in the end. */
function answer(runner: Runner, id: StepId = 'priority', scope: Scope = {}): Outcome<unknown> {
  const outcome = drive(runner.outcome(id, scope));
  drive(runner.save());
  return outcome;
}

describe('what is refused', () => {
  test('a scope that lacks a dimension of its step is a programmer’s error', () => {
    const runner = runnerOf(invented().steps);
    expect(() => answer(runner, 'field')).toThrow('needs a field');
  });
  test('a step whose need was refused is refused, once the need is not optional', () => {
    const give = (field: string) => (field === 'a' ? refused(problem('error', 'bad', 'Bad.')) : done(7));
    const strict = invented({ give });
    const runner = runnerOf(strict.steps);
    expect(answer(runner).ok).toBe(false);
    expect(strict.ran).not.toContain('priority');
    expect(drive(runner.problems()).map((one) => one.code)).toEqual(['bad']);
    const tolerant = invented({ give, optional: ['fields'] });
    expect(answer(runnerOf(tolerant.steps))).toMatchObject({ ok: true, value: 7 });
  });
});

test('each result is computed once, needs first, with progress', () => {
  const { steps, ran } = invented();
  const runner = runnerOf(steps);
  const progress = [...runner.outcome('priority', {})];
  expect(ran).toEqual(['field a', 'field b', 'priority'].flatMap((one, i) => (i === 0 ? ['records', one] : [one])));
  expect(progress.map(({ step, done: at }) => `${step} ${at}`)).toContain('field 1');
  expect(answer(runner)).toMatchObject({ ok: true, value: 14 });
  expect(ran.length).toBe(4);
});

describe('what is reused', () => {
  test('everything, where nothing changed', () => {
    const store = memoryStore();
    answer(runnerOf(invented().steps, { store }));
    const again = invented();
    const runner = runnerOf(again.steps, { store });
    expect(answer(runner)).toMatchObject({ ok: true, value: 14 });
    expect(again.ran).toEqual([]);
    expect([...runner.counts.values()].every((one) => one.ran === 0)).toBe(true);
    expect(runner.usedKeys).toEqual(new Set(store.kept.keys()));
  });
  test('a change of one scope’s settings runs that scope; an equal result stops it there', () => {
    const store = memoryStore();
    answer(runnerOf(invented().steps, { store }));
    const changed = invented({ settings: (field) => ({ field, more: field === 'a' ? 1 : undefined }) });
    const runner = runnerOf(changed.steps, { store });
    answer(runner);
    expect(changed.ran).toEqual(['field a']);
    expect(runner.usedKeys.size).toBeLessThan(store.kept.size);
  });
  test('keyed by inputs, the same change goes all the way', () => {
    const store = memoryStore();
    answer(runnerOf(invented({ key: 'inputs' }).steps, { store }));
    const changed = invented({ key: 'inputs', settings: (field) => ({ field, more: field === 'a' ? 1 : undefined }) });
    answer(runnerOf(changed.steps, { store }));
    expect(changed.ran).toEqual(['field a', 'priority']);
  });
  test('a raised version runs the step anew', () => {
    const store = memoryStore();
    answer(runnerOf(invented().steps, { store }));
    const raised = invented({ version: 2 });
    answer(runnerOf(raised.steps, { store }));
    expect(raised.ran).toEqual(['field a', 'field b']);
  });
  test('refusals and their problems too', () => {
    const store = memoryStore();
    const give = () => refused(problem('warning', 'bad', 'Bad.'));
    answer(runnerOf(invented({ give }).steps, { store }));
    const again = invented({ give });
    const runner = runnerOf(again.steps, { store });
    expect(answer(runner).ok).toBe(false);
    expect(again.ran).toEqual([]);
    expect(drive(runner.problems())).toEqual([problem('warning', 'bad', 'Bad.')]);
  });
  test('nothing that was made while a file was missing, once it is back', () => {
    const store = memoryStore();
    answer(runnerOf(invented({ key: 'inputs' }).steps, { door: noDoor, store }));
    const back = invented({ key: 'inputs' });
    answer(runnerOf(back.steps, { store }));
    expect(back.ran).toEqual(['records', 'field a', 'field b', 'priority']);
  });
});

test('a run that is given up leaves whole results only, and the next goes on from them', () => {
  const memory = new Memory(memoryStore());
  const { steps } = invented();
  const running = new Runner(farm, new Planner(steps), door, memory).outcome('priority', {});
  for (let i = 0; i < 3; i++) running.next();
  running.return(undefined as never);
  const again = invented();
  const next = new Runner(farm, new Planner(again.steps), door, memory);
  expect(answer(next)).toMatchObject({ ok: true, value: 14 });
  expect(again.ran).not.toContain('records');
});

test('a key is told without computing what is keyed by inputs', () => {
  const { steps, ran } = invented({ key: 'inputs' });
  const runner = runnerOf(steps);
  const key = drive(runner.key('priority', {}));
  expect(ran).toEqual([]);
  answer(runner);
  expect(drive(runner.key('priority', {}))).toBe(key);
});

describe('a lazy need', () => {
  /** "priority" asks for the second field only where the first gives 7. */
  function asking(first: number, more: Partial<Step> = {}) {
    const { steps, ran } = invented({ key: 'inputs', give: (field) => done(field === 'a' ? first : 5) });
    const need = (field: string): Need => ({ step: 'field', scope: { field } });
    const priority: Step = {
      ...steps.priority,
      needs: () => ({ certain: need('a'), maybe: need('b') }),
      lazy: ['maybe'],
      *run({ needs }) {
        const maybe = needs['maybe'] as Ask<number>;
        return done((needs['certain'] as number) === 7 ? 7 + (yield* maybe())! : first);
      },
      ...more,
    };
    return { steps: { ...steps, priority }, ran };
  }
  test('is computed only where the step asks for it', () => {
    const without = asking(1);
    expect(answer(runnerOf(without.steps))).toMatchObject({ ok: true, value: 1 });
    expect(without.ran).not.toContain('field b');
    const withIt = asking(7);
    const progress: string[] = [];
    const work = runnerOf(withIt.steps).outcome('priority', {});
    let turn = work.next();
    for (; !turn.done; turn = work.next()) progress.push(`${turn.value.step} ${turn.value.scope.field ?? ''}`);
    expect(turn.value).toMatchObject({ ok: true, value: 12 });
    expect(progress).toContain('field b');
  });
  test('counts in the key all the same', () => {
    const other = asking(1);
    const steps = { ...other.steps, field: { ...other.steps.field, version: 2 } };
    expect(drive(runnerOf(steps).key('priority', {}))).not.toBe(drive(runnerOf(asking(1).steps).key('priority', {})));
  });
  test('is not computed to tell its problems', () => {
    const { steps, ran } = asking(1);
    const runner = runnerOf(steps);
    answer(runner);
    drive(runner.problems());
    expect(ran).not.toContain('field b');
  });
});
