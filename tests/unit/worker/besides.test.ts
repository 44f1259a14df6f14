import { expect, test } from 'vitest';
import { prepareField } from '../../../shared/analysis/spread.ts';
import { startRunner } from '../../../shared/analysis/study.ts';
import { CASES } from '../../../shared/model/range.ts';
import { computed } from '../../../src/worker/besides.ts';
import { memoryStore } from '../../../shared/analysis/memory-store.ts';
import { waitingWeeds } from '../../../shared/analysis/quick-look.ts';
import { addCount } from '../../../shared/model/edits/counts.ts';
import { placeIn } from '../../support/small-farm.ts';
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

test('of counts whose chains wait a second worker runs the second, and the study finds it', () => {
  const farm = Array.from({ length: 24 }, (_, n) => n).reduce((sofar, n) => {
    const at = [...placeIn('West', 15 + 18 * (n % 6), 15 + 25 * Math.floor(n / 6))] as [number, number];
    const counted = { at, species: WATERHEMP.id, count: n % 3 === 0 ? 4 : 0, effortM2: 1, on: '2026-07-01' } as const;
    return applyEdit(sofar, addCount(sofar, counted, WEST, WATERHEMP)).farm;
  }, twoFieldFarm());
  const store = memoryStore();
  const door = { open: () => null };
  const runner = startRunner(farm, door, store);
  const sight = waitingWeeds(runner, 2026);
  let turn = sight.next();
  while (!turn.done) turn = sight.next();
  const waiting = turn.value;
  expect(waiting).toEqual([{ field: 'west', season: 2026, species: 'waterhemp' }]);

  const made = [...computed({ farm, season: 2026, attachments: new Map(), share: { chainsOf: waiting } })];
  for (const { results } of made) for (const [key, bytes] of results) store.write(key, bytes);
  expect(made.map((one) => one.isRankable)).toEqual([true]);
  for (const work = runner.outcome('infestation', waiting[0]!); !work.next().done;);
  expect(runner.counts.get('latent-chain')).toEqual({ ran: 1, reused: 1 });
});
