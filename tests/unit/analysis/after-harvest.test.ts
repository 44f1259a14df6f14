import { beforeAll, describe, expect, test } from 'vitest';
import type { HarvestPlan } from '../../../shared/analysis/harvest-plan.ts';
import type { FieldStudy } from '../../../shared/analysis/study-field.ts';
import type { Study } from '../../../shared/analysis/study.ts';
import type { Working } from '../../../shared/analysis/working.ts';
import { studySchema } from '../../../shared/model/output/study.ts';
import type { MemoryHost } from '../../support/memory-host.ts';
import { documentOf, hostWithFarm } from '../../support/small-farm-host.ts';
import { boundaries, counts, crops, harvestLog, scouting } from '../../support/small-farm.ts';

/** West is cut on October 3. */
const files = {
  'boundaries.geojson': boundaries(),
  'crops.csv': crops,
  'west-soybean-harvest.csv': harvestLog('West', '2026-10-03'),
};
const before = scouting(counts('West', [5, 4], undefined, '2026-08-28'));
const round = (day: string, count: (x: number, y: number, n: number) => number) =>
  scouting(counts('West', [8, 6], count, day));
/** A round with more places than the one before the harvest, and nothing found. */
const nothingLeft = round('2026-10-20', () => 0);
const west = (host: MemoryHost): FieldStudy =>
  host.json<Study>('study', 'farm').fields.find((one) => one.id === 'west')!;

describe('a round that looked after the field was cut', () => {
  let alone: FieldStudy;
  let host: MemoryHost;
  beforeAll(() => {
    alone = west(hostWithFarm('farm', { ...files, 'august.csv': before }));
    host = hostWithFarm('farm', { ...files, 'august.csv': before, 'october.csv': nothingLeft });
  }, 60_000);

  test('takes nothing from the loss and the seed of the season, though it is the last and has the most places', () => {
    const both = west(host);
    expect(alone.yieldLossFraction.central).toBeGreaterThan(0);
    expect(both.yieldLossFraction).toEqual(alone.yieldLossFraction);
    expect(both.seedsProduced).toEqual(alone.seedsProduced);
    expect(both.infestedAreaM2).toEqual(alone.infestedAreaM2);
    expect(both.afterHarvest.map(({ from, to }) => [from, to])).toEqual([['2026-10-20', '2026-10-20']]);
    expect(alone.afterHarvest).toEqual([]);
  });

  test('is told in the working of what it is not in', () => {
    for (const number of ['yieldLossFraction', 'seedsProduced', 'bySpecies/waterhemp/infestedAreaM2']) {
      const { notes } = host.json<Working>('working', 'farm', `fields/west/${number}`);
      expect(notes.join(' '), number).toContain('Looked at after the field was cut (2026-10-20)');
    }
  });

  test('counts again where a person says that the field is still uncut', () => {
    const uncut = host.copy();
    uncut.run('set', 'farm', 'cut.west=no');
    expect(west(uncut).yieldLossFraction.central).toBeLessThan(alone.yieldLossFraction.central!);
    expect(west(uncut).afterHarvest).toEqual([]);
  });

  test('on the day of the harvest counts as before it, since nobody knows the hour', () => {
    const sameDay = hostWithFarm('farm', { ...files, 'october.csv': round('2026-10-03', (x) => (x < 60 ? 3 : 0)) });
    expect(west(sameDay).yieldLossFraction.central).toBeGreaterThan(0);
  });

  test('of several days is judged by the days on which this field was counted', () => {
    const rows = [...counts('West', [8, 6], () => 4, '2026-10-01'), ...counts('East', [3, 3], () => 4, '2026-10-09')];
    const long = west(hostWithFarm('farm', { ...files, 'fall.csv': scouting(rows) }));
    expect(long.yieldLossFraction.central).toBeGreaterThan(0);
    expect(long.afterHarvest).toEqual([]);
  });
});

describe('a field that was looked at only after it was cut', () => {
  let host: MemoryHost;
  beforeAll(() => {
    host = hostWithFarm('farm', { ...files, 'october.csv': round('2026-10-20', () => 5) });
  }, 60_000);

  test('has no loss and no seed that could be told, neither none nor much, and says why', () => {
    const study = host.json<Study>('study', 'farm');
    const field = study.fields.find((one) => one.id === 'west')!;
    expect(field.yieldLossFraction.central).toBeNull();
    expect(field.seedsProduced.central).toBeNull();
    expect(field.rank).toBeNull();
    expect(field.evidenceIs).toBe('looked at only after it was cut and a harvest log');
    expect(field.why).toMatch(/^Somebody looked here only after the field was cut/);
    expect(studySchema.safeParse(study).error?.issues ?? []).toEqual([]);
  });

  test('is unknown in the order of harvest, not clean', () => {
    const document = documentOf(host, 'farm');
    expect(document.rounds).toHaveLength(1);
    const [machine] = host.json<HarvestPlan>('harvest', 'farm').machines;
    // Cut, so that what it left aboard rides into the next: unknown.
    expect(machine!.cut.map((one) => one.field)).toEqual(['west']);
    expect(machine!.fields[0]!.afterUnlooked.map((one) => one.field)).toContain('west');
  });
});
