import { describe, expect, it } from 'vitest';
import { addCombine, dropCombine, setHarvestCost, setRoad } from '../../../../shared/model/edits/harvest-costs.ts';
import { sayMachine } from '../../../../shared/model/edits/visits.ts';
import { after, EAST, twoFieldFarm, WEST } from '../../../support/two-field-farm.ts';

describe('what the order of harvest rests on', () => {
  it('is typed one by one and taken back without a trace', () => {
    const start = twoFieldFarm();
    let farm = after(start, setHarvestCost(start, 'costPerHour', 400));
    farm = after(farm, setHarvestCost(farm, 'limitedMin', 25));
    expect(farm.planning.harvest).toEqual({ costPerHour: 400, limitedMin: 25 });
    farm = after(farm, setHarvestCost(farm, 'limitedMin', null));
    farm = after(farm, setHarvestCost(farm, 'costPerHour', null));
    expect('harvest' in farm.planning).toBe(false);
  });

  it('has a way once, whichever end it is typed from, and from the yard', () => {
    const start = twoFieldFarm();
    let farm = after(start, setRoad(start, WEST, EAST, 3000));
    farm = after(farm, setRoad(farm, EAST, WEST, 4000));
    farm = after(farm, setRoad(farm, null, WEST, 500));
    expect(farm.planning.harvest?.roads).toEqual([
      { from: 'east', to: 'west', distanceM: 4000 },
      { from: null, to: 'west', distanceM: 500 },
    ]);
    farm = after(farm, setRoad(farm, null, WEST, null));
    farm = after(farm, setRoad(farm, WEST, EAST, null));
    expect('harvest' in farm.planning).toBe(false);
  });

  it('takes another combine like the first, and takes it away while it cuts nothing', () => {
    const start = twoFieldFarm();
    const farm = after(start, addCombine(start));
    expect(farm.machines.map((one) => one.id)).toEqual(['combine', 'combine-2']);
    const second = { id: 'combine-2', name: 'Combine 2' };
    expect(after(farm, dropCombine(farm, second)).machines.map((one) => one.id)).toEqual(['combine']);
    const used = after(farm, sayMachine(farm, 2026, WEST, second));
    expect(() => dropCombine(used, second)).toThrow(/cuts a field/);
  });
});
