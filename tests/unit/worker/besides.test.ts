import { expect, test } from 'vitest';
import { prepareField } from '../../../shared/analysis/spread.ts';
import { startRunner } from '../../../shared/analysis/study.ts';
import { CASES } from '../../../shared/model/range.ts';
import { computed } from '../../../src/worker/besides.ts';
import { memoryStore } from '../../../shared/analysis/memory-store.ts';
import { rateField } from '../../../shared/model/edits/ratings.ts';
import { applyEdit } from '../../../shared/model/edit.ts';
import { EAST, twoFieldFarm, WATERHEMP, WEST } from '../../support/two-field-farm.ts';

test('what a second worker hands over is all that a study needs of its fields', () => {
  const rated = { species: WATERHEMP, rating: 'patches', season: 2026, on: null } as const;
  const farm = twoFieldFarm().fields.reduce(
    (sofar, field) => applyEdit(sofar, rateField(sofar, { field, ...rated })).farm,
    twoFieldFarm(),
  );
  const fields = [WEST.id, EAST.id];
  const store = memoryStore();
  const made = [...computed({ farm, season: 2026, attachments: new Map(), share: { fields } })];
  for (const { results } of made) for (const [key, bytes] of results) store.write(key, bytes);

  const runner = startRunner(farm, { open: () => null }, store);
  for (const field of fields) for (const work = prepareField(runner, field, 2026, CASES); !work.next().done;);
  expect([...runner.counts.values()].reduce((sum, { ran }) => sum + ran, 0)).toBe(0);
  expect(made.map((one) => one.isRankable)).toEqual([false, true, true, true]);
});
