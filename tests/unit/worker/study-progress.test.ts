import { describe, expect, it } from 'vitest';
import type { Farm } from '../../../shared/model/farm.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import { expectedEffort, StudyProgress } from '../../../src/worker/study-progress.ts';

const field = (id: string, name: string): Farm['fields'][number] => ({
  id,
  name,
  ours: true,
  frameOrigin: [0, 0],
  boundary: [],
  exclusions: [],
});
const farm: Farm = { ...emptyFarm('willow', 'Willow (invented)'), fields: [field('a', 'Ash'), field('b', 'Birch')] };
const seen = (step: 'field' | 'harvest-path', id: string) => ({
  step,
  title: step,
  scope: { field: id },
  done: 0,
  total: 1,
});

describe('the progress of a study', () => {
  it('says the step and the field by its name', () => {
    const progress = new StudyProgress(farm);
    expect(progress.line()).toMatchObject({ title: 'Beginning', done: 0 });
    progress.see(seen('field', 'b'));
    expect(progress.line().title).toBe('field · Birch');
  });

  it('counts each result once and never goes back', () => {
    const progress = new StudyProgress(farm);
    progress.see(seen('field', 'a'));
    const once = progress.line().done;
    progress.see(seen('field', 'b'));
    const both = progress.line().done;
    progress.see(seen('field', 'a'));
    expect(once).toBeGreaterThan(0);
    expect(both).toBe(2 * once);
    expect(progress.line().done).toBe(both);
  });

  it('is never complete before the study is', () => {
    const progress = new StudyProgress(farm);
    for (let i = 0; i < 100; i++) progress.see(seen('harvest-path', String(i)));
    expect(progress.line().done).toBeLessThan(progress.line().total);
  });

  it('expects more of a larger farm', () => {
    expect(expectedEffort(farm)).toBeLessThan(
      expectedEffort({ ...farm, fields: [...farm.fields, field('c', 'Cedar')] }),
    );
  });
});
