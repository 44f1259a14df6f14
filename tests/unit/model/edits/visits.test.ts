import { describe, expect, it } from 'vitest';
import {
  liftFlag,
  sayCleanOut,
  sayFlowDelay,
  sayHarvestDay,
  sayMachine,
  sayRipe,
  sayScaleTotal,
  tickHarvest,
} from '../../../../shared/model/edits/visits.ts';
import { harvestOf, isCut } from '../../../../shared/model/lookups.ts';
import { after, EAST, twoFieldFarm, WEST } from '../../../support/two-field-farm.ts';

describe('harvest visits', () => {
  it('are ticked off as the season goes, and a tick is taken back without a trace', () => {
    const start = twoFieldFarm();
    const ticked = after(start, tickHarvest(start, 2026, WEST, true));
    expect(ticked.seasons[0]!.visits).toEqual([
      { id: 'harvest-2026-west', field: 'west', machine: 'combine', done: true, cutAs: 1 },
    ]);
    const back = after(ticked, tickHarvest(ticked, 2026, WEST, false));
    expect(back.seasons[0]!.visits).toEqual([{ id: 'harvest-2026-west', field: 'west', machine: 'combine' }]);
  });

  it('keep what is known of them when a day or a clean-out is said', () => {
    let farm = twoFieldFarm();
    farm = after(farm, sayHarvestDay(farm, 2026, WEST, '2026-10-03'));
    farm = after(farm, sayCleanOut(farm, 2026, WEST, 'thorough'));
    farm = after(farm, sayHarvestDay(farm, 2026, EAST, '2026-10-05'));
    expect(harvestOf(farm, 'west', 2026)).toMatchObject({
      startedOn: '2026-10-03',
      cleanOutBefore: 'thorough',
      implied: false,
    });
    farm = after(farm, sayCleanOut(farm, 2026, WEST, null));
    farm = after(farm, sayHarvestDay(farm, 2026, WEST, null));
    expect(harvestOf(farm, 'west', 2026)).toMatchObject({ startedOn: null, cleanOutBefore: null });
    expect(harvestOf(farm, 'east', 2026).startedOn).toBe('2026-10-05');
  });

  it('keep the order in which they were ticked off', () => {
    const start = twoFieldFarm();
    const one = after(start, tickHarvest(start, 2026, EAST, true));
    const both = after(one, tickHarvest(one, 2026, WEST, true));
    const placed = both.seasons[0]!.visits.map((visit) => [visit.field, visit.cutAs]);
    expect(placed).toEqual([
      ['east', 1],
      ['west', 2],
    ]);
  });

  it('count as cut where a log is at hand, until somebody says otherwise', () => {
    const visits = [{ id: 'v', field: 'west', machine: 'combine', file: 'log' }];
    const season = { year: 2026, weather: [], prices: {}, crops: [], visits, sprayed: [], sightings: [] };
    const start = { ...twoFieldFarm(), seasons: [season] };
    expect([isCut(start, 'west', 2026), isCut(start, 'east', 2026)]).toEqual([true, false]);
    const uncut = after(start, tickHarvest(start, 2026, WEST, false));
    expect(isCut(uncut, 'west', 2026)).toBe(false);
    const again = after(uncut, tickHarvest(uncut, 2026, WEST, true));
    expect(isCut(again, 'west', 2026)).toBe(true);
  });

  it('hold from when on a field is ripe and which machine cuts it, one edit for several fields', () => {
    const start = twoFieldFarm();
    const ripe = after(start, sayRipe(start, 2026, [WEST, EAST], '2026-10-12', 'Corn'));
    expect(ripe.seasons[0]!.visits.map((one) => one.ripeFrom)).toEqual(['2026-10-12', '2026-10-12']);
    const back = after(ripe, sayRipe(ripe, 2026, [EAST], null, 'East'));
    expect(back.seasons[0]!.visits.map((one) => one.ripeFrom)).toEqual(['2026-10-12', undefined]);
    const other = after(back, sayMachine(back, 2026, WEST, { id: 'combine-2', name: 'Combine 2' }));
    expect(harvestOf(other, 'west', 2026).machine).toBe('combine-2');
    expect(harvestOf(other, 'east', 2026).machine).toBe('combine');
  });

  it('never take an id that another visit has', () => {
    const start = twoFieldFarm();
    const visits = [{ id: 'harvest-2026-west', field: 'east', machine: 'combine' }];
    const season = { year: 2026, weather: [], prices: {}, crops: [], visits, sprayed: [], sightings: [] };
    const farm = after({ ...start, seasons: [season] }, tickHarvest({ ...start, seasons: [season] }, 2026, WEST, true));
    expect(new Set(farm.seasons[0]!.visits.map((one) => one.id)).size).toBe(2);
  });

  it('hold what a person knows better than the log, and give it back to the log', () => {
    let farm = twoFieldFarm();
    farm = after(farm, sayScaleTotal(farm, 2026, WEST, 54_000));
    farm = after(farm, sayFlowDelay(farm, 2026, WEST, 0));
    farm = after(farm, liftFlag(farm, 2026, WEST, 'yield-local', true));
    farm = after(farm, liftFlag(farm, 2026, WEST, 'speed-high', true));
    farm = after(farm, liftFlag(farm, 2026, WEST, 'speed-high', true));
    expect(harvestOf(farm, 'west', 2026)).toMatchObject({
      scaleTotalKg: 54_000,
      flowDelayS: 0,
      liftedFlags: ['speed-high', 'yield-local'],
    });
    expect(harvestOf(farm, 'east', 2026)).toMatchObject({ scaleTotalKg: null, flowDelayS: null, liftedFlags: [] });
    farm = after(farm, sayScaleTotal(farm, 2026, WEST, null));
    farm = after(farm, sayFlowDelay(farm, 2026, WEST, null));
    farm = after(farm, liftFlag(farm, 2026, WEST, 'yield-local', false));
    farm = after(farm, liftFlag(farm, 2026, WEST, 'speed-high', false));
    expect(farm.seasons[0]!.visits).toEqual([{ id: 'harvest-2026-west', field: 'west', machine: 'combine' }]);
  });

  it('share one scale total out over the logs that are read as one', () => {
    const start = twoFieldFarm();
    const visits = ['a', 'b'].map((id) => ({ id, field: 'west', machine: 'combine' }));
    const season = { year: 2026, weather: [], prices: {}, crops: [], visits, sprayed: [], sightings: [] };
    const given = { ...start, seasons: [season] };
    const farm = after(given, sayScaleTotal(given, 2026, WEST, 60_000));
    expect(farm.seasons[0]!.visits.map((one) => one.scaleTotalKg)).toEqual([30_000, 30_000]);
    expect(harvestOf(farm, 'west', 2026).scaleTotalKg).toBe(60_000);
  });
});
