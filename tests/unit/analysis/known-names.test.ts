import { describe, expect, it } from 'vitest';
import { withKnownNames } from '../../../shared/analysis/known-names.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';

const crop = (name: string) => ({
  field: 'a',
  crop: name,
  tolerates: 'not stated' as const,
  plantedOn: null,
  rowSpacingM: null,
  tillage: 'not stated' as const,
  expectedYieldKgHa: null,
});
const farmWith = (crops: string[], species: string[]): Farm => ({
  ...emptyFarm('a', 'A'),
  seasons: [{ year: 2026, weather: [], prices: {}, crops: crops.map(crop), visits: [], sprayed: [], sightings: [] }],
  thresholdPerM2: Object.fromEntries(species.map((one) => [one, 1])),
});

describe('names that the science does not know', () => {
  it('are told and left out, and the rest of the farm stays as it was', () => {
    const { farm, problems } = withKnownNames(farmWith(['corn', 'quinoa'], ['waterhemp', 'triffid']));
    expect(problems.map((one) => one.code).sort()).toEqual(['crop-unknown', 'species-unknown']);
    expect(problems.map((one) => one.text).join()).toMatch(/triffid[^]*quinoa/);
    expect(farm.seasons[0]!.crops.map((one) => one.crop)).toEqual(['corn']);
    expect(Object.keys(farm.thresholdPerM2)).toEqual(['waterhemp']);
  });

  it('a farm of known names is given back untouched', () => {
    const farm = farmWith(['soybean'], ['palmer-amaranth', 'pigweed']);
    expect(withKnownNames(farm)).toEqual({ farm, problems: [] });
  });
});
