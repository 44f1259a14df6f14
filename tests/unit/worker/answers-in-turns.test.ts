import { beforeAll, expect, it } from 'vitest';
import { lookNext } from '../../../shared/analysis/look-next.ts';
import { dayNumber } from '../../../shared/units/calendar.ts';
import type { OpenFarm } from '../../../src/worker/open-farm.ts';
import { lookNextQuestion } from '../../../src/worker/questions/look-next.ts';
import { openedFarm, studied } from '../../support/open-farm.ts';
import { hostWithFarm } from '../../support/small-farm-host.ts';

let open: OpenFarm;
const ASK = {
  season: 2026,
  species: 'waterhemp',
  day: dayNumber('2026-07-20')!,
  within: { budgetMin: 120, arriveMin: 12, stopMin: 6 },
};

beforeAll(async () => {
  open = await openedFarm('farm.zip', hostWithFarm('farm.zip').files.get('farm.zip')!);
  studied(open);
}, 60_000);

it('an answer that takes long lets others be heard before it, and is the one that would be given at once', async () => {
  const told: string[] = [];
  const long = lookNextQuestion(open, ASK).then((answer) => {
    told.push('where to look next');
    return answer;
  });
  const short = Promise.resolve().then(() => told.push('another'));
  const [answer] = await Promise.all([long, short]);
  expect(told).toEqual(['another', 'where to look next']);
  expect(answer).toEqual(lookNext(open.farm, ASK, (step, scope) => open.outcome(step, scope)));
  expect(answer.fields.length).toBeGreaterThan(0);
});

it('a fault in an answer is a fault, not waited for', async () => {
  await expect(
    open.inTurns(() => {
      throw new Error('no such thing');
    }),
  ).rejects.toThrow('no such thing');
});
