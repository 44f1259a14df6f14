import { beforeAll, describe, expect, test } from 'vitest';
import { geodesicAreaM2 } from '../../../shared/geometry/geodesic.ts';
import type { Range } from '../../../shared/model/range.ts';
import type { Study } from '../../../shared/analysis/study.ts';
import { closeTo } from '../../support/close-to.ts';
import { MemoryHost } from '../../support/memory-host.ts';
import { documentOf, furnish } from '../../support/small-farm-host.ts';
import {
  boundaries,
  counts,
  crops,
  harvestLog,
  patches,
  ratings,
  ring,
  scouting,
  SIDE_M,
  sprayings,
  weather,
} from '../../support/small-farm.ts';

/** An honest answer at every rung: the same farm, one kind of file more each time. */
const host = new MemoryHost();
host.run('new', 'farm', '--name', 'Small Farm');
const UNKNOWN: Range = { low: null, central: null, high: null };

function add(name: string, content: string): Study {
  host.put(name, content);
  const { code, err } = host.run('add', 'farm', name);
  if (code !== 0) throw new Error(err);
  return host.json<Study>('study', 'farm');
}
/** Weeds around one place, thinning out: 12 a m² there, 30 m the spread. */
const hill = (x: number, y: number) => Math.round(12 * Math.exp(-((x - 40) ** 2 + (y - 30) ** 2) / (2 * 30 ** 2)));
const fieldOf = (study: Study, id: string) => study.fields.find((one) => one.id === id)!;
const noNumbers = (study: Study, id: string) => {
  const field = fieldOf(study, id);
  for (const range of [
    field.stake,
    field.stakePerHa,
    field.yieldLossFraction,
    field.seedsProduced,
    field.infestedAreaM2,
  ])
    expect(range).toEqual(UNKNOWN);
  for (const one of field.programs) expect(one.gain).toEqual(UNKNOWN);
  expect(field.ledger).toBeNull();
};

describe('a: boundaries only', () => {
  let study: Study;
  beforeAll(() => {
    study = add('boundaries.geojson', boundaries());
  });
  test('acres are right, no field is ranked, every field has its place among those to look at', () => {
    for (const field of study.fields) {
      expect(field).toMatchObject({ evidence: 'a', tier: null, rank: null, rankByThisYear: null });
      closeTo(field.areaM2, SIDE_M ** 2, {
        within: 0.01,
        because: 'a square in a local frame against its geodesic area',
      });
    }
    const west = geodesicAreaM2([[ring('West', 0, 0, SIDE_M, SIDE_M)]]);
    closeTo(fieldOf(study, 'west').areaM2, west, { within: 2e-5, because: 'geodesic areas are judged to 2e-5 m²' });
    expect(study.fields.map((one) => one.lookRank)).toEqual([1, 2, 3]);
    expect(study.problems.map((one) => one.code)).toContain('nothing-known-yet');
  });
  test('nothing is compared in numbers', () => {
    for (const { id } of study.fields) noNumbers(study, id);
    expect(study.summary).toContain('go and look');
  });
});

describe('b: a rating a field', () => {
  let study: Study;
  beforeAll(() => {
    add('ratings.csv', ratings);
    furnish(host, 'farm');
    study = host.json<Study>('study', 'farm');
  });
  test('tiers and ranks, the field nobody rated stays apart', () => {
    expect(fieldOf(study, 'west')).toMatchObject({ evidence: 'b', tier: 1, rank: 1 });
    expect(fieldOf(study, 'middle')).toMatchObject({ evidence: 'b', tier: 2, rank: 2 });
    expect(fieldOf(study, 'east')).toMatchObject({ evidence: 'a', tier: null, rank: null, lookRank: 1 });
    noNumbers(study, 'east');
  });
  test('no density is shown', () => {
    for (const field of study.fields) for (const one of field.bySpecies) expect(one.meanDensityPerM2).toEqual(UNKNOWN);
  });
});

describe('b: drawn patches', () => {
  let study: Study;
  beforeAll(() => {
    study = add('patches-2026.geojson', patches);
  });
  test('the infested ground is that of the patches above the threshold, the zones hold them', () => {
    const west = fieldOf(study, 'west');
    expect(west).toMatchObject({ evidence: 'b', tier: 1, evidenceIs: 'drawn patches' });
    expect(west.bySpecies[0]).toMatchObject({ basis: 'drawn patches', meanDensityPerM2: UNKNOWN });
    // 40 × 30 m medium (0.3 / 1 / 3 a m²) and 30 × 40 m thick (3 / 10 / 50): the thick one is above 1 a m² in every case.
    const thick = 1200;
    closeTo(west.infestedAreaM2.low!, thick, { within: 10, because: 'cells of 5 m whose middles lie within' });
    closeTo(west.infestedAreaM2.high!, 2 * thick, { within: 10, because: 'cells of 5 m whose middles lie within' });
    const zoned = west.zones.reduce((sum, one) => sum + one.areaM2, 0);
    expect(zoned).toBeGreaterThanOrEqual(2 * thick * 0.99);
  });
});

describe('c: counts', () => {
  test('five places give a density with its range, and no surface', () => {
    const study = add('few.csv', scouting(counts('Middle', [5, 1], (_x, _y, n) => n % 2)));
    const middle = fieldOf(study, 'middle');
    expect(middle.evidence).toBe('c');
    const [waterhemp] = middle.bySpecies;
    expect(waterhemp).toMatchObject({ places: 5, positives: 2, basis: 'points' });
    // 2 plants on 5 m².
    closeTo(waterhemp!.meanDensityPerM2.central!, 0.4, { within: 1e-12, because: 'plants over ground' });
    expect(waterhemp!.meanDensityPerM2.low!).toBeLessThan(0.4);
    expect(waterhemp!.meanDensityPerM2.high!).toBeGreaterThan(0.4);
    expect(middle.unknownAreaM2).toBeGreaterThan(0);
  });
  test('twenty-five places give a surface with the infested area', () => {
    const study = add('many.csv', scouting(counts('West', [5, 5], hill, undefined, 9)));
    const west = fieldOf(study, 'west');
    expect(west.evidence).toBe('c');
    expect(west.bySpecies[0]).toMatchObject({ basis: 'surface', places: 25 });
    const { low, central, high } = west.infestedAreaM2;
    // The hill is above 1 a m² within 67 m of its top.
    expect(low!).toBeLessThan(central!);
    expect(high!).toBeGreaterThan(central!);
    expect(central!).toBeGreaterThan(0.2 * SIDE_M ** 2);
    expect(central!).toBeLessThan(0.8 * SIDE_M ** 2);
    expect(west.zones.length).toBeGreaterThan(0);
  });
});

describe('d: a harvest log', () => {
  test('the path is the true one, the yield is weighed, the seed is followed', () => {
    const before = fieldOf(host.json<Study>('study', 'farm'), 'west');
    expect(before.harvest!.assumedPath).toBe(true);
    add('crops.csv', crops);
    const study = add('west-harvest.csv', harvestLog('West'));
    const west = fieldOf(study, 'west');
    expect(west).toMatchObject({ evidence: 'd', harvest: { assumedPath: false, records: 910 } });
    expect(west.harvest!.standardMassKg).toBeGreaterThan(0);
    expect(west.ledger!.central.landedByMachineSeeds).toBeGreaterThan(0);
    expect(fieldOf(study, 'middle').evidence).toBe('c');
  });
});

describe('e: weather, sprayings, last year', () => {
  test('emergence and cover are told, with where they come from', () => {
    add('weather.csv', weather(2026));
    const study = add('sprayings.csv', sprayings);
    const west = fieldOf(study, 'west');
    expect(west.evidence).toBe('e');
    expect(west.season!.cover).toMatchObject([{ ingredient: 'S-metolachlor', on: '2026-05-10', rateFraction: 1 }]);
    expect(west.season!.bySpecies[0]!.emergenceFrom).toMatch(/air temperature/);
    const { low, high } = west.season!.bySpecies[0]!.uncoveredFraction;
    expect(low!).toBeGreaterThanOrEqual(0);
    expect(high!).toBeLessThanOrEqual(1);
  });
});

test('every file of the way stands in the document', () => {
  expect(documentOf(host, 'farm').files.length).toBe(9);
});
