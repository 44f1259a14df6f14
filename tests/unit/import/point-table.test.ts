import { describe, expect, test } from 'vitest';
import { projectionFromEpsg } from '../../../shared/geometry/projection.ts';
import { writeArchive } from '../../../shared/import/archive.ts';
import { readBundle } from '../../../shared/import/importers.ts';
import type { ReadingWishes } from '../../../shared/import/importer.ts';
import { closeTo } from '../../support/close-to.ts';
import { bundleOf, codes, drive, recordsOf, told } from '../../support/import-text.ts';
import {
  dbfBytes,
  pointBundle,
  type PointColumn,
  type PointParts,
  pointParts,
  type PointRow,
  shpBytes,
  UTM_15N,
} from '../../support/point-shapefile.ts';
import { given, onBench } from '../../support/review-bench.ts';

const COLUMNS: readonly PointColumn[] = [
  { name: 'IsoTime', type: 'C', width: 24 },
  { name: 'flow_kg_s', type: 'N', width: 12 },
  { name: 'Moisture', type: 'N', width: 8 },
  { name: 'swath_m', type: 'N', width: 8 },
  { name: 'Crop', type: 'C', width: 10 },
];
const timeOf = (i: number) => new Date(Date.UTC(2026, 9, 3, 14) + i * 1000).toISOString();
const latOf = (i: number) => 43.9 + i * 1.8e-5;
const cellsOf = (i: number) => [timeOf(i), (8 + i / 10).toFixed(3), '17.5', '9.144', 'Corn'];
const rowsOf = (count: number): PointRow[] =>
  Array.from({ length: count }, (_, i) => ({ at: [-93.97, latOf(i)] as const, cells: cellsOf(i) }));
const read = (parts: PointParts, wishes: ReadingWishes = {}, chunkBytes = 100) =>
  drive(readBundle(pointBundle(parts, chunkBytes), wishes));
const logOf = (parts: PointParts, wishes: ReadingWishes = {}) => recordsOf(read(parts, wishes), 'harvest log');
const asText = `lon,lat,${COLUMNS.map((one) => one.name).join(',')}\n${Array.from(
  { length: 30 },
  (_, i) => `-93.97,${latOf(i)},${cellsOf(i).join(',')}`,
).join('\n')}\n`;

describe('points as a log', () => {
  test('are the records of the same table as text', () => {
    const text = recordsOf(drive(readBundle(bundleOf('log.csv', new TextEncoder().encode(asText)), {})), 'harvest log');
    const points = logOf(pointParts(COLUMNS, rowsOf(30)));
    const { row, lon, lat, bounds } = text;
    expect({ ...points, row, lon, lat, bounds }).toEqual(text);
    points.lat.forEach((one, i) => closeTo(one, lat[i]!, { within: 1e-12, because: 'degrees pass through radians' }));
    points.lon.forEach((one, i) => closeTo(one, lon[i]!, { within: 1e-12, because: 'degrees pass through radians' }));
    expect([...points.row.subarray(0, 2)]).toEqual([1, 2]);
  });
  test.each([1, 13, 28, 4096])('in portions of %i bytes are the same', (chunkBytes) => {
    const parts = pointParts(COLUMNS, rowsOf(30));
    expect(recordsOf(read(parts, {}, chunkBytes), 'harvest log')).toEqual(logOf(parts));
  });
  test('more rows than a block come whole and in order', () => {
    const log = logOf(pointParts(COLUMNS, rowsOf(5000)));
    expect(log.count).toBe(5000);
    expect(log.row.every((row, i) => row === i + 1)).toBe(true);
    closeTo(log.lat[4999]!, latOf(4999), { within: 1e-12, because: 'degrees pass through radians' });
  });
  test('with height and measure are the same points', () => {
    const parts = pointParts(COLUMNS, rowsOf(30));
    expect(logOf({ ...parts, shp: shpBytes(rowsOf(30), 11) })).toEqual(logOf(parts));
  });
  test('in meters of a projection come to degrees by their .prj', () => {
    const utm = projectionFromEpsg(32615);
    if (!utm.ok) throw new Error('no projection');
    const [x, y] = [422_100, 4_861_300];
    const rows = rowsOf(30).map((one, i): PointRow => ({ ...one, at: [x, y + 2 * i] }));
    const parts = pointParts(COLUMNS, rows, UTM_15N);
    const log = logOf(parts);
    const [lon, lat] = utm.toLonLat(x, y + 20);
    closeTo(log.lon[10]!, lon, { within: 1e-12, because: 'the same projection' });
    closeTo(log.lat[10]!, lat, { within: 1e-12, because: 'the same projection' });
    const lost = read({ ...parts, prj: undefined });
    expect(lost.ok).toBe(false);
    expect(told(lost, 'coordinate-system-unknown').hint).toContain('EPSG:32615');
    expect(logOf({ ...parts, prj: undefined }, { crs: 'EPSG:32615' }).lon[10]).toBe(log.lon[10]);
  });
});

describe('bad parts, each told and nothing lost', () => {
  const good = pointParts(COLUMNS, rowsOf(30));
  test('without its table', () => {
    const outcome = read({ ...good, dbf: undefined });
    expect(codes(outcome)).toEqual(['attributes-missing']);
    expect(outcome.problems[0]!.hint).toContain('log.dbf');
  });
  test('a .dbf that is no table', () => {
    expect(codes(read({ ...good, dbf: good.dbf!.subarray(0, 20) }))).toEqual(['attributes-damaged']);
    const lying = Uint8Array.from(good.dbf!);
    new DataView(lying.buffer).setUint16(10, 7, true);
    expect(codes(read({ ...good, dbf: lying }))).toEqual(['attributes-damaged']);
  });
  test('a .dbf that ends early: the points behind it are counted', () => {
    const outcome = read({ ...good, dbf: good.dbf!.subarray(0, good.dbf!.length - 100) });
    expect(recordsOf(outcome, 'harvest log').count).toBe(28);
    expect(told(outcome, 'attributes-cut').text).toContain('30 rows, 28 are whole');
    expect(told(outcome, 'attribute-count')).toMatchObject({ where: { row: 29 } });
  });
  test('a .shp that ends early: the rows without a point are told', () => {
    const outcome = read({ ...good, shp: good.shp!.subarray(0, 100 + 28 * 25 + 5) });
    expect(recordsOf(outcome, 'harvest log').count).toBe(25);
    expect(told(outcome, 'position-missing').where?.row).toBe(26);
    expect(told(outcome, 'file-ends-early').text).toContain('last 5 of 30');
  });
  test('a record without a shape, a row marked deleted, stars and an empty cell', () => {
    const rows = rowsOf(30);
    rows[3] = { ...rows[3]!, at: null };
    rows[5] = { ...rows[5]!, deleted: true };
    rows[7] = { ...rows[7]!, cells: [timeOf(7), '************', '', '9.144', 'Corn'] };
    const outcome = read(pointParts(COLUMNS, rows));
    const log = recordsOf(outcome, 'harvest log');
    expect(log.count).toBe(28);
    expect(told(outcome, 'position-missing').where?.row).toBe(4);
    expect(told(outcome, 'row-deleted').where?.row).toBe(6);
    const at = log.row.indexOf(8);
    expect(log.flowKgS[at]).toBeNaN();
    expect(log.moistureFraction[at]).toBeNaN();
    expect(codes(outcome).filter((one) => one === 'values-missing')).toHaveLength(2);
  });
  test('points that are nothing known here are told with their columns', () => {
    const columns: readonly PointColumn[] = [{ name: 'well', type: 'C', width: 10 }];
    const rows = rowsOf(3).map((one): PointRow => ({ ...one, cells: ['a'] }));
    const outcome = read(pointParts(columns, rows));
    expect(codes(outcome)).toEqual(['kind-unknown']);
    expect(outcome.problems[0]!.text).toContain('a shapefile of points of no kind known here');
    expect(dbfBytes(columns, rows).length).toBeGreaterThan(60);
  });
});

describe('under review', () => {
  const files = (parts: PointParts) =>
    Object.entries(parts).map(([ending, bytes]) => [`log.${ending}`, bytes!] as const);
  test('loose or in a .zip they are one log, its columns to be said otherwise', () => {
    const parts = pointParts(COLUMNS, rowsOf(30));
    const loose = onBench(files(parts).map(([name, bytes]) => given(name, bytes)));
    const zip = writeArchive(files(parts).map(([name, bytes]) => ({ name: `a/${name}`, bytes })));
    const zipped = onBench([given('log.zip', zip)]);
    for (const { reviews } of [loose, zipped]) {
      expect(reviews).toHaveLength(1);
      expect(reviews[0]).toMatchObject({
        isRead: true,
        kind: 'harvest log',
        rows: 30,
        asked: ['crs', 'utcOffsetMinutes', 'season'],
      });
      expect(reviews[0]!.header).toContain('flow_kg_s');
      expect(reviews[0]!.columns.find((one) => one.id === 'flow')!.units).toContain('lb/s');
      expect(reviews[0]!.shown!.rows[0]!.cells).toContain('8.000');
    }
  });
  test('counts as points are a scouting round', () => {
    const columns: readonly PointColumn[] = [
      { name: 'date', type: 'D', width: 8 },
      { name: 'species', type: 'C', width: 20 },
      { name: 'count', type: 'N', width: 6 },
      { name: 'area_m2', type: 'N', width: 6 },
    ];
    const rows = rowsOf(10).map((one, i): PointRow => ({
      ...one,
      cells: ['20260715', 'waterhemp', String(i), '0.25'],
    }));
    const outcome = drive(readBundle(pointBundle(pointParts(columns, rows)), {}));
    const { observations } = recordsOf(outcome, 'scouting');
    expect(observations).toHaveLength(10);
    expect(observations[4]).toMatchObject({ count: 4, on: '2026-07-15', effortM2: 0.25, row: 5 });
  });
});
