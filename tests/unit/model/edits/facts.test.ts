/** What was planted and sprayed, whose a field is, and the money: said by a person, undone as data. */
import { describe, expect, it } from 'vitest';
import { bareCrop, removeCrop, sayCrop } from '../../../../shared/model/edits/crops.ts';
import { renameField, sayTenure, tenureOf } from '../../../../shared/model/edits/field-facts.ts';
import { setCurrency, setPlanning, setPrice } from '../../../../shared/model/edits/money.ts';
import { addSpraying, removeSprayed } from '../../../../shared/model/edits/sprayings.ts';
import { dropSpecies, setThreshold } from '../../../../shared/model/edits/weeds.ts';
import { after, EAST, twoFieldFarm, WATERHEMP, WEST } from '../../../support/two-field-farm.ts';

const SOYBEAN = { id: 'soybean', name: 'soybean' };

describe('what was planted', () => {
  it('makes the season, and what is said again replaces what was known of that field alone', () => {
    let farm = after(twoFieldFarm(), sayCrop(twoFieldFarm(), 2026, bareCrop('west', 'corn'), WEST, 'corn'));
    farm = after(farm, sayCrop(farm, 2026, bareCrop('east', 'corn'), EAST, 'corn'));
    const soybean = { ...bareCrop('west', 'soybean'), tolerates: ['glufosinate'], plantedOn: '2026-05-09' };
    farm = after(farm, sayCrop(farm, 2026, soybean, WEST, 'soybean'));
    expect(farm.seasons[0]!.crops).toEqual([soybean, bareCrop('east', 'corn')]);
    farm = after(farm, sayCrop(farm, 2024, bareCrop('west', 'corn'), WEST, 'corn'));
    expect(farm.seasons.map((one) => one.year)).toEqual([2024, 2026]);
    farm = after(farm, removeCrop(farm, 2026, WEST));
    expect(farm.seasons[1]!.crops.map((one) => one.field)).toEqual(['east']);
  });
});

describe('what was sprayed', () => {
  const spraying = {
    where: { field: 'west' },
    on: '2026-05-10',
    parts: [{ ingredient: 'S-metolachlor', rateFraction: 1 }],
  };

  it('of one field and day is one pass, as the rows of a spray record are', () => {
    let farm = after(twoFieldFarm(), addSpraying(twoFieldFarm(), spraying, WEST));
    const second = { ...spraying, parts: [{ ingredient: 'flumioxazin', rateFraction: 0.5 }], reentryHours: 12 };
    farm = after(farm, addSpraying(farm, second, WEST));
    expect(farm.seasons[0]!.sprayed).toEqual([
      { ...spraying, parts: [...spraying.parts, ...second.parts], reentryHours: 12 },
    ]);
    farm = after(farm, addSpraying(farm, { ...spraying, on: '2026-06-10' }, WEST));
    farm = after(farm, removeSprayed(farm, farm.seasons[0]!.sprayed[0]!, 0, WEST));
    expect(farm.seasons[0]!.sprayed.map((one) => one.parts[0]!.ingredient)).toEqual(['flumioxazin', 'S-metolachlor']);
    farm = after(farm, removeSprayed(farm, farm.seasons[0]!.sprayed[0]!, 0, WEST));
    expect(farm.seasons[0]!.sprayed).toHaveLength(1);
    expect(() => removeSprayed(farm, spraying, 0, WEST)).toThrow(/no ingredient/);
  });

  it('on a day that is none is a mistake of the program, since the form refuses it', () => {
    expect(() => addSpraying(twoFieldFarm(), { ...spraying, on: '2026-02-30' }, WEST)).toThrow(/expected a day/);
  });
});

describe('a field', () => {
  it('is renamed, rented until a year, given up, and owned again', () => {
    let farm = after(twoFieldFarm(), renameField(twoFieldFarm(), 'west', 'Home'));
    expect(farm.fields[0]!.name).toBe('Home');
    expect(tenureOf(farm.fields[0]!)).toEqual({ is: 'owned' });
    farm = after(farm, sayTenure(farm, 'west', { is: 'rented', until: 2028 }));
    expect(tenureOf(farm.fields[0]!)).toEqual({ is: 'rented', until: 2028 });
    farm = after(farm, sayTenure(farm, 'west', { is: 'not ours' }));
    expect(tenureOf(farm.fields[0]!)).toEqual({ is: 'not ours' });
    farm = after(farm, sayTenure(farm, 'west', { is: 'owned' }));
    expect(Object.keys(farm.fields[0]!)).not.toContain('leaseEnds');
    expect(() => renameField(farm, 'nowhere', 'x')).toThrow(/no field/);
  });
});

describe('money and weeds', () => {
  it('a price stands in its season, and can be taken back', () => {
    let farm = after(twoFieldFarm(), setPrice(twoFieldFarm(), 2026, SOYBEAN, 0.41));
    expect(farm.seasons[0]!.prices).toEqual({ soybean: 0.41 });
    farm = after(farm, setPrice(farm, 2026, SOYBEAN, null));
    expect(farm.seasons[0]!.prices).toEqual({});
  });

  it('the horizon, the discount, the budget and the currency are each an edit', () => {
    let farm = after(twoFieldFarm(), setPlanning('horizonYears', 8));
    farm = after(farm, setPlanning('discountFraction', 0.03));
    farm = after(farm, setPlanning('budget', 12_000));
    farm = after(farm, setPlanning('budget', null));
    expect(farm.planning).toEqual({ horizonYears: 8, discountFraction: 0.03, budget: null, mustTreat: [] });
    expect(after(farm, setCurrency('CAD')).currency).toBe('CAD');
  });

  it('a weed is looked for from its threshold on, and left out again', () => {
    let farm = after(twoFieldFarm(), setThreshold(twoFieldFarm(), WATERHEMP, 1));
    expect(setThreshold(farm, WATERHEMP, 0.5).label).toBe('Threshold of waterhemp');
    farm = after(farm, setThreshold(farm, WATERHEMP, 0.5));
    expect(farm.thresholdPerM2).toEqual({ waterhemp: 0.5 });
    expect(after(farm, dropSpecies(farm, WATERHEMP)).thresholdPerM2).toEqual({});
  });
});
