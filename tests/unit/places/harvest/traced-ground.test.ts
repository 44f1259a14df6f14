import { describe, expect, test } from 'vitest';
import type { MultiPolygon } from '../../../../shared/geometry/types.ts';
import {
  drawnGrounds,
  groundAt,
  outlineOf,
  perAreaText,
  readPlace,
  thickestPlaces,
} from '../../../../src/places/harvest/traced-ground.ts';
import { edgesBelow } from '../../../../src/map/classes.ts';
import { placeIn } from '../../../support/small-farm.ts';
import { patchArea, twoFieldFarm } from '../../../support/two-field-farm.ts';

const farm = twoFieldFarm();
const patch = { species: 'waterhemp', density: 'thick' as const, area: patchArea };
const west = (areas: readonly MultiPolygon[] = []) => ({
  id: 'west',
  zones: areas.map((area, index) => ({ id: `west-2027-${'AB'[index]}`, area })),
});

describe('a press', () => {
  const drawn = drawnGrounds(farm, west(), 2026, [patch]);

  test('in a drawn patch takes it whole, beside it the ground about the place', () => {
    expect(groundAt(placeIn('West', 30, 20), drawn, 10, 'metric')).toMatchObject({
      name: 'Patch 1: thick, waterhemp',
      ground: { area: patchArea },
    });
    const at = placeIn('West', 80, 80);
    expect(groundAt(at, drawn, 10, 'metric').ground).toEqual({ at, radiusM: 10 });
  });

  test('finds zones as they are proposed until some were accepted', () => {
    const proposed = drawnGrounds(farm, west([patchArea]), 2026, []);
    expect(proposed.map((one) => one.name)).toEqual(['Zone A, proposed']);
    expect(groundAt(placeIn('West', 30, 20), proposed, 10, 'metric').name).toMatch(/^Within 10 m/);
    const zones = [{ id: 'z', letter: 'C', area: patchArea }];
    const accepted = { ...farm, zoneSets: [{ id: 's', field: 'west', season: 2027, rules: null, zones }] };
    expect(drawnGrounds(accepted as typeof farm, west([patchArea]), 2026, []).map((one) => one.name)).toEqual([
      'Zone C',
    ]);
  });

  test('is drawn as a closed ring of its radius', () => {
    const [[ring]] = outlineOf({ at: [-93.5, 42], radiusM: 100 }) as [[[number, number][]]];
    expect(ring!.at(-1)).toEqual(ring![0]);
    const norths = ring!.map(([, lat]) => lat);
    expect((Math.max(...norths) - Math.min(...norths)) * 111_080).toBeCloseTo(200, 0);
  });
});

describe('a place by its coordinates', () => {
  test.each(['42.1, -93.5', '42.1 −93.5', ' 42.1;-93.5 '])('%s', (text) => {
    expect(readPlace(text)).toEqual({ value: [-93.5, 42.1] });
  });
  test.each([
    ['42.1', /latitude and longitude/],
    ['here, there', /latitude and longitude/],
    ['-93.5, 42.1', /latitude comes first/],
  ])('%s is refused', (text, message) => {
    expect((readPlace(text) as { wrong: string }).wrong).toMatch(message);
  });
});

test('the thickest deposits come first, apart from each other, and none where nothing lies', () => {
  const grid = { x0M: 0, y0M: 0, columns: 10, rows: 1, cellM: 5 };
  const values = Float32Array.from([0, 9, 8, NaN, 0, 0, 5, 0, 0, 0]);
  const found = thickestPlaces({ origin: [-93.5, 42], grid, values }, 5, 12);
  expect(found.map((one) => one.value)).toEqual([9, 5]);
  expect(found[0]!.at[0]).toBeLessThan(found[1]!.at[0]);
});

test('seeds on the ground are said to two figures', () => {
  expect(perAreaText(27_151, 'metric')).toBe('27,000/m²');
  expect(perAreaText(2.44, 'metric')).toBe('2.4/m²');
});

test('classes of a trace meet at round shares of its most, and there are none where nothing is', () => {
  expect(edgesBelow(10_000, [0.001, 0.01, 0.1, 0.4], 1)).toEqual([10, 100, 1000, 2000]);
  expect(edgesBelow(0, [0.1], 1)).toEqual([]);
});
