import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { alongRoads, CENTER_LAT, CENTER_LON, toLocal, toLonLat } from '../../../sample-data/ground.ts';
import { toUtm } from '../../../sample-data/utm.ts';
import { closeTo } from '../../support/close-to.ts';

interface Case {
  id: string;
  input: { lonLat: [number, number][] };
  expected: { eastNorth: [number, number][] };
}

describe('UTM of the sample’s shapefile', () => {
  it('is where PROJ has it, to a tenth of a millimetre', () => {
    // Source: PROJ (cct), tests/reference/projection/cases.json, case utm-15n-grs80.
    const file = new URL('../../reference/projection/cases.json', import.meta.url);
    const cases = (JSON.parse(readFileSync(file, 'utf8')) as { formula: Case[] }).formula;
    const { input, expected } = cases.find(({ id }) => id === 'utm-15n-grs80')!;
    expect(input.lonLat.length).toBeGreaterThan(5);
    input.lonLat.forEach(([lon, lat], i) => {
      const [east, north] = toUtm(lon, lat, 15);
      closeTo(east, expected.eastNorth[i]![0], { within: 1e-4, because: 'coordinates are written to 0.1 mm' });
      closeTo(north, expected.eastNorth[i]![1], { within: 1e-4, because: 'coordinates are written to 0.1 mm' });
    });
  });
});

describe('the farm’s ground', () => {
  it('has its centre at 0, 0', () => {
    expect(toLocal(CENTER_LON, CENTER_LAT)).toEqual([0, 0]);
    const [lon, lat] = toLonLat(0, 0);
    closeTo(lon, CENTER_LON, { within: 1e-12, because: 'rounding' });
    closeTo(lat, CENTER_LAT, { within: 1e-12, because: 'rounding' });
  });

  it('goes there and back', () => {
    for (const [east, north] of [
      [1800, -1700],
      [-1650, 1600],
      [0.5, 3000],
      [-4000, -4000],
    ] as const) {
      const back = toLocal(...toLonLat(east, north));
      closeTo(back[0], east, { within: 1e-6, because: 'the inverse is good to a micrometre on the farm' });
      closeTo(back[1], north, { within: 1e-6, because: 'the inverse is good to a micrometre on the farm' });
    }
  });

  it('keeps lengths when turned along the roads', () => {
    const [east, north] = alongRoads([300, 400]);
    closeTo(east * east + north * north, 250000, { within: 1e-6, because: 'a turn keeps lengths' });
    expect(east).toBeGreaterThan(300);
  });
});
