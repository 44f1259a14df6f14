import { describe, expect, test } from 'vitest';
import { Planner } from '../../../shared/analysis/planner.ts';
import type { Scope, Step, StepId } from '../../../shared/analysis/step.ts';
import { steps } from '../../../shared/analysis/steps.ts';
import { done } from '../../../shared/model/problem.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';

const farm: Farm = emptyFarm('farm', 'Farm');
const keyOf = (planner: Planner, of: Farm, scope: Scope = {}) => planner.plan(of, 'field', scope).keyWith([]);

/** A step that reads the name of the farm and its seed. */
function counting(more: Partial<Step> = {}) {
  const seen = { settings: 0 };
  const step: Step = {
    id: 'field',
    title: 'Invented',
    version: 1,
    per: [],
    key: 'inputs',
    settings: (of) => {
      seen.settings++;
      return { name: of.name, seed: of.seed };
    },
    needs: () => ({}),
    *run() {
      yield [0, 1];
      return done(1);
    },
    ...more,
  };
  return { seen, planner: new Planner({ field: step } as Record<StepId, Step>) };
}

describe('a plan', () => {
  test('is made once while the members that it read are the same', () => {
    const { seen, planner } = counting();
    const first = planner.plan(farm, 'field', {});
    expect(planner.plan({ ...farm, rounds: [] }, 'field', {})).toBe(first);
    expect(seen.settings).toBe(1);
  });
  test('is made anew where one of them is another, and its key follows what it says', () => {
    const { seen, planner } = counting();
    const first = keyOf(planner, farm);
    expect(keyOf(planner, { ...farm, name: 'Other' })).not.toBe(first);
    expect(keyOf(planner, { ...farm, name: 'Farm' })).toBe(first);
    expect(seen.settings).toBe(3);
  });
  test('has another key for another version, scope, parameter value or need', () => {
    const key = (more: Partial<Step>, scope: Scope = {}, of = farm) => keyOf(counting(more).planner, of, scope);
    const own = [{ parameter: 'seedbank.enteringFraction', value: 0.4, low: 0.3, high: 0.5, because: 'x' }];
    const keys = [
      key({}),
      key({ version: 2 }),
      key({ per: ['field'] }, { field: 'a' }),
      key({ parameters: () => ['seedbank.enteringFraction'] }),
      key({ parameters: () => ['seedbank.enteringFraction'] }, {}, { ...farm, ownValues: own as never }),
      key({ needs: () => ({ one: [] }) }),
    ];
    expect(new Set(keys).size).toBe(keys.length);
  });
});

describe('what is a programmer’s error', () => {
  test('a scope that lacks a dimension of the step', () => {
    expect(() => counting({ per: ['field'] }).planner.plan(farm, 'field', {})).toThrow('needs a field');
  });
  test('a step that asks which members the document has, instead of reading them', () => {
    expect(() => counting({ settings: (of) => ({ ...of }) }).planner.plan(farm, 'field', {})).toThrow('not list');
    expect(() => counting({ settings: (of) => 'name' in of }).planner.plan(farm, 'field', {})).toThrow('not ask');
  });
});

test('every step of the science names each of its needs so that it can be planned', () => {
  const planner = new Planner(steps);
  const withField = {
    ...farm,
    fields: [{ id: 'a', name: 'A', ours: true, boundary: [], exclusions: [], frameOrigin: [0, 0] }],
  };
  const plan = planner.plan(withField as unknown as Farm, 'landed', { field: 'a', season: 2026, case: 'central' });
  expect(plan.needs.map((one) => one.word)).toEqual(['own', 'carried', 'seed']);
});
