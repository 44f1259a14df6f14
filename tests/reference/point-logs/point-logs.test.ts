/** A log of points as it was delivered (a shapefile of 41 MB), beside the same log as a text table made of it by other tools. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { openArchive } from '../../../shared/import/archive.ts';
import { bundlesByFolder } from '../../../shared/import/bundles.ts';
import type { Bundle } from '../../../shared/import/importer.ts';
import { readBundle } from '../../../shared/import/importers.ts';
import { unpack } from '../../../shared/import/unpack.ts';
import { sourceOf } from '../../support/bundle.ts';
import { closeTo } from '../../support/close-to.ts';
import { bundleOf, codes, drive, recordsOf, told } from '../../support/import-text.ts';
import { realDataPath } from '../../support/real-data.ts';

const zipPath = realDataPath('yield/henrys-2018-original-shapefile.zip');
const tablePath = realDataPath('yield/henrys-2018.csv');
const nitrogenPath = realDataPath('yield/henrys-nitrogen-2018-original-shapefile.zip');

function unpacked(path: string): Bundle {
  const outcome = drive(unpack({ folder: '', source: sourceOf('log.zip', readFileSync(path), 1 << 20) }));
  if (!outcome.ok || outcome.value.is !== 'records') throw new Error('not unpacked');
  return bundlesByFolder(outcome.value.placed)[0]!.bundle;
}

describe('a shapefile of 31 276 points', () => {
  test.skipIf(!zipPath || !tablePath)('gives the records of the table, one for one', () => {
    const outcome = drive(readBundle(unpacked(zipPath!), {}));
    const points = recordsOf(outcome, 'harvest log');
    const table = recordsOf(
      drive(readBundle(bundleOf('henrys-2018.csv', readFileSync(tablePath!)), {})),
      'harvest log',
    );
    expect(points.count).toBe(31_276);
    expect(points.count).toBe(table.count);
    expect(points.crop).toBe(table.crop);
    expect(points.timeS).toEqual(table.timeS);
    expect(points.headerDown).toEqual(table.headerDown);
    // The table has a header line.
    expect(points.row[9]).toBe(table.row[9]! - 1);
    const most = (a: ArrayLike<number>, b: ArrayLike<number>) => {
      let worst = 0;
      for (let i = 0; i < a.length; i++) worst = Math.max(worst, Math.abs(a[i]! - b[i]!));
      return worst;
    };
    closeTo(most(points.lon, table.lon), 0, { within: 6e-9, because: 'the table has 8 decimals of a degree' });
    closeTo(most(points.lat, table.lat), 0, { within: 6e-9, because: 'the table has 8 decimals of a degree' });
    for (const id of ['flowKgS', 'moistureFraction', 'swathM', 'speedMS', 'headingDeg', 'durationS'] as const)
      closeTo(most(points[id], table[id]), 0, { within: 2e-5, because: 'the table has at most 6 digits of a value' });
    if (outcome.ok) expect(outcome.value.reading).toMatchObject({ rows: 31_276, unusedRows: 0 });
  });
  test.skipIf(!zipPath)('cut short: rows without a point are told, the whole ones read', () => {
    const opened = openArchive(readFileSync(zipPath!));
    if (!opened.ok) throw new Error('zip');
    const parts = opened.value.map((entry) => {
      const content = entry.read();
      if (!content.ok) throw new Error(entry.name);
      const bytes = entry.name.endsWith('.shp') ? content.value.subarray(0, 100 + 28 * 1000 + 7) : content.value;
      return sourceOf(entry.name, bytes, 1 << 20);
    });
    const name = parts.find((one) => one.name.endsWith('.shp'))!.name;
    const outcome = drive(readBundle({ name, parts }, {}));
    expect(recordsOf(outcome, 'harvest log').count).toBe(1000);
    expect(told(outcome, 'file-ends-early').text).toContain('30276 of 31276 rows have no point');
    expect(told(outcome, 'position-missing').where?.row).toBe(1001);
    if (outcome.ok) expect(outcome.value.reading).toMatchObject({ rows: 31_276, unusedRows: 30_276 });
  });
});

test.skipIf(!nitrogenPath)('points of an applied rate without time are no log: said with their columns', () => {
  const outcome = drive(readBundle(unpacked(nitrogenPath!), {}));
  expect(outcome.ok).toBe(false);
  expect(codes(outcome)).toEqual(['kind-unknown']);
  expect(told(outcome, 'kind-unknown').text).toContain('"rate_appld"');
});
