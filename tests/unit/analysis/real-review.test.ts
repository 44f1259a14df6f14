/**
 * Everything in the folder of real open data, as a person would drop it: each file is taken for what it is, or refused in words
 * that say what to do. Where it lies and what is known of it: the README of the open data beside the repository.
 */
import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { describe, expect, test } from 'vitest';
import { applyEdit } from '../../../shared/model/edit.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import { drive } from '../../support/import-text.ts';
import { realDataPath } from '../../support/real-data.ts';
import { given, onBench } from '../../support/review-bench.ts';

/** File → what it is taken for, or the code that refuses it. */
const TAKEN: Readonly<Record<string, string>> = {
  'yield/gartner-corn.csv': 'harvest log',
  'yield/henrys-2018.csv': 'harvest log',
  'yield/sec1west-2014.csv': 'harvest log',
  'yield/sec1west-2019-part2.csv': 'harvest log',
  'yield/millview-seeding-2019.csv': 'harvest log',
  'yield/lasrosas-corn.csv': 'kind-unknown',
  'yield/henrys-nitrogen-2018.csv': 'kind-unknown',
  'yield/henrys-2018-original-shapefile.zip': 'harvest log',
  'yield/henrys-nitrogen-2018-original-shapefile.zip': 'kind-unknown',
  'fields/montana-manitoba-fields.geojson': 'boundaries',
  'fields/csb-100.geojson': 'boundaries',
  'fields/csb-farm.geojson': 'boundaries',
  'fields/bahia-195.geojson': 'boundaries',
  'fields/finland-100.gpkg': 'format-not-read',
  'fields/shapefile/henrys_bbox.zip': 'boundaries',
  'fields/shapefile/sec35mid_bbox.zip': 'boundaries',
  'weather/iowa-coop-1988-2018.csv': 'several-stations',
  'weeds/bjertorp-counts.csv': 'kind-unknown',
  'weeds/palmer-growth-2018-2019.csv': 'kind-unknown',
  'weeds/broadbalk/weed_data.csv': 'columns-lacking',
  'weeds/iowa-seedbank/ghobs.csv': 'columns-lacking',
  'iso11783/samples/log-totals-3/TASKDATA.XML': 'no-records',
  'iso11783/samples/log-totals-3/TLG00001.bin': 'no-records',
};

const content = (path: string) => new Uint8Array(readFileSync(path));

describe('real files under review', () => {
  for (const [name, taken] of Object.entries(TAKEN)) {
    const path = realDataPath(name);
    test.skipIf(path === null)(`${name}: ${taken}`, () => {
      const { reviews } = onBench([given(basename(name), content(path!))]);
      const review = reviews[0]!;
      if (review.isRead) {
        expect(review.kind).toBe(taken);
        expect(review.shapes ?? review.facts).not.toBeNull();
        expect(review.shown!.rows.length).toBeGreaterThan(0);
      } else {
        const error = review.problems.find((one) => one.level === 'error')!;
        expect(error.code).toBe(taken);
        expect(error.hint).toMatch(/\w+ \w+.*\.$/);
      }
    });
  }

  test('fields and their logs together make one farm in one edit', () => {
    const names = ['fields/montana-manitoba-fields.geojson', 'yield/henrys-2018.csv', 'yield/sec1west-2014.csv'];
    const paths = names.map(realDataPath);
    if (paths.includes(null)) return;
    const { bench, ids } = onBench(paths.map((path) => given(basename(path!), content(path!))));
    const start = emptyFarm('farm', 'Farm');
    const { edit, items } = bench.change(start, ids, []);
    expect(items.map((one) => one.summary)).toEqual([
      '5 fields',
      'the harvest of henrys (31,276 records)',
      'the harvest of sec1west (47,872 records)',
    ]);
    expect(applyEdit(start, edit!).farm.seasons.map((one) => one.year)).toEqual([2014, 2018]);
  });

  test('one of three stations is taken when the person says which', () => {
    const path = realDataPath('weather/iowa-coop-1988-2018.csv');
    if (!path) return;
    const { bench, review, id } = onBench([given('iowa.csv', content(path))]);
    const stations = review('iowa.csv').columns.find((one) => one.id === 'station')!.values;
    expect(stations).toEqual(['IA0200', 'IA4228', 'IA8688']);
    const again = drive(bench.read(id('iowa.csv'), { columns: { station: 'station=IA4228' } }));
    expect(again.facts).toMatchObject({ kind: 'weather', days: 11323, station: 'IA4228' });
  });
});
