import { describe, expect, test } from 'vitest';
import { applyEdit } from '../../../shared/model/edit.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';

const farm = emptyFarm('farm', 'Farm');

test('a path that leads nowhere is a programmer’s error, before anything changes', () => {
  const edit = { label: 'Wrong', sets: [{ path: ['yard', 'x', 'y'], value: 1 }] };
  expect(() => applyEdit(farm, edit)).toThrow('nothing at yard');
});

describe('an edit', () => {
  test('leaves the farm given as it was, and shares what it does not touch', () => {
    const before = structuredClone(farm);
    const { farm: after } = applyEdit(farm, { label: 'Rename', sets: [{ path: ['name'], value: 'Other' }] });
    expect(after.name).toBe('Other');
    expect(farm).toEqual(before);
    expect(after.planning).toBe(farm.planning);
  });
  test('keeps what it writes again with the same content, however deep', () => {
    const edit = {
      label: 'Plan',
      sets: [
        { path: ['planning'], value: structuredClone({ ...farm.planning, budget: 900 }) },
        { path: ['programs'], value: structuredClone([...farm.programs, farm.programs[0]]) },
        { path: ['thresholdPerM2'], value: structuredClone(farm.thresholdPerM2) },
      ],
    };
    const { farm: after } = applyEdit(farm, edit);
    expect(after).toStrictEqual(applied(edit));
    expect(after.planning.mustTreat).toBe(farm.planning.mustTreat);
    expect(after.programs[1]).toBe(farm.programs[1]);
    expect(after.thresholdPerM2).toBe(farm.thresholdPerM2);
  });
  test('that changes nothing gives the farm itself', () => {
    const set = { path: ['planning'], value: structuredClone(farm.planning) };
    expect(applyEdit(farm, { label: 'Nothing', sets: [set] }).farm).toBe(farm);
  });
  test('gives its reverse, also of a member that was not there and of one taken away', () => {
    const edit = {
      label: 'Three changes',
      sets: [
        { path: ['yard'], value: [-93.5, 42] },
        { path: ['programs', 0, 'name'], value: 'Current practice' },
        { path: ['planning', 'mustTreat'], value: undefined },
      ],
    };
    const { farm: after, reverse } = applyEdit(farm, edit);
    expect(after.yard).toEqual([-93.5, 42]);
    expect('mustTreat' in after.planning).toBe(false);
    const { farm: back, reverse: again } = applyEdit(after, reverse);
    expect(back).toStrictEqual(farm);
    expect(Object.keys(back)).not.toContain('yard');
    expect(applyEdit(back, again).farm).toStrictEqual(after);
    expect(reverse.label).toBe('Three changes');
  });
  test('undoes sets of one path in the right order', () => {
    const edit = { label: 'Twice', sets: ['B', 'C'].map((value) => ({ path: ['name'], value })) };
    const { farm: after, reverse } = applyEdit(farm, edit);
    expect(after.name).toBe('C');
    expect(applyEdit(after, reverse).farm.name).toBe('Farm');
  });
});

/** The members that the edit writes, as written. */
function applied({ sets }: { sets: readonly { path: readonly string[]; value: unknown }[] }): unknown {
  return { ...farm, ...Object.fromEntries(sets.map(({ path, value }) => [path[0], value])) };
}
