import { beforeAll, expect, it } from 'vitest';
import { setThreshold } from '../../../shared/model/edits/weeds.ts';
import type { OpenFarm } from '../../../src/worker/open-farm.ts';
import { thresholdTrialQuestion } from '../../../src/worker/questions/threshold-trial.ts';
import { mapGridQuestion } from '../../../src/worker/questions/map-grid.ts';
import { openedFarm, studied } from '../../support/open-farm.ts';
import { hostWithFarm } from '../../support/small-farm-host.ts';

let open: OpenFarm;
const WEED = { id: 'waterhemp', name: 'waterhemp' };

beforeAll(async () => {
  open = await openedFarm('farm.zip', hostWithFarm('farm.zip').files.get('farm.zip')!);
  studied(open);
}, 60_000);

it('a tried threshold shows what the study shows once it is taken', async () => {
  const study = studied(open);
  const counted = study.fields.filter((one) =>
    one.bySpecies.some((it) => it.species === WEED.id && it.infestedAreaM2.central !== null),
  );
  expect(counted.length).toBeGreaterThan(0);
  for (const thresholdPerM2 of [2, 0.8]) {
    const tried = await Promise.all(
      counted.map(({ id: field }) =>
        thresholdTrialQuestion(open, { field, season: 2026, species: WEED.id, thresholdPerM2 }),
      ),
    );
    open.apply(setThreshold(open.farm, WEED, thresholdPerM2));
    const taken = studied(open);
    counted.forEach(({ id: field }, at) => {
      const line = taken.fields.find((one) => one.id === field)!.bySpecies.find((one) => one.species === WEED.id)!;
      expect(tried[at]!.infestedAreaM2).toEqual(line.infestedAreaM2);
      expect(tried[at]!.rangeIs).toBe(line.rangeIs);
      const grid = mapGridQuestion(open, { quantity: 'probability', field, season: 2026, species: WEED.id });
      expect(tried[at]!.map).toEqual(grid);
    });
  }
});
