import { zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { shapefileExporter } from '../../../shared/export/shapefile.ts';
import { groupIntoBundles } from '../../../shared/import/bundles.ts';
import type { ReadingWishes } from '../../../shared/import/importer.ts';
import { shapefileImporter } from '../../../shared/import/shapefile.ts';
import { boundariesIn, bundleOf, readAll, sourceOf } from '../../support/bundle.ts';
import { zones } from '../export/zones.ts';

type Parts = Record<string, Uint8Array>;
const good = (): Parts =>
  Object.fromEntries(
    shapefileExporter
      .write(zones, { name: 'a', units: { rate: 'gal/ac' } })
      .files.map((file) => [file.name.slice(2), file.bytes.slice()]),
  );
const read = (parts: Parts, wishes: ReadingWishes = {}) =>
  readAll(
    shapefileImporter,
    { name: 'a.shp', parts: Object.entries(parts).map(([ending, bytes]) => sourceOf(`a.${ending}`, bytes)) },
    wishes,
  );
const view = (bytes: Uint8Array) => new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
const bent = (part: string, change: (bytes: DataView) => void): Parts => {
  const parts = good();
  change(view(parts[part]!));
  return parts;
};
const codes = (parts: Parts, wishes: ReadingWishes = {}) => read(parts, wishes).problems.map((one) => one.code);
/** Byte where record `n` (from 0) starts. */
const record = (n: number) => view(good()['shx']!).getInt32(100 + 8 * n) * 2;

describe('refusals', () => {
  it('parts without a .shp', () => {
    const { shp, ...rest } = good();
    expect(shp!.length).toBeGreaterThan(0);
    expect(codes(rest)).toEqual(['shapes-missing']);
  });
  it('points: told how many and what to do, not taken for boundaries', () => {
    const outcome = read(bent('shp', (shp) => shp.setInt32(32, 11, true)));
    expect(outcome.problems).toMatchObject([{ code: 'shape-type-other', level: 'error' }]);
    expect(outcome.problems[0]!.text).toMatch(/5 points, not polygons/);
    expect(outcome.problems[0]!.hint).toMatch(/\.shp, \.dbf and \.prj/);
  });
  it('a shape type that does not exist', () => {
    expect(codes(bent('shp', (shp) => shp.setInt32(32, 77, true)))).toEqual(['not-a-shapefile']);
  });
  it('a .prj that is no description, and one of a datum without a way to WGS 84', () => {
    expect(codes({ ...good(), prj: new TextEncoder().encode('hello') })).toEqual(['coordinate-system-not-read']);
    const text = new TextDecoder().decode(good()['prj']).replaceAll('WGS_1984', 'North_American_1927');
    expect(codes({ ...good(), prj: new TextEncoder().encode(text) })).toEqual(['coordinate-system-not-read']);
  });
  it('a .prj in meters over numbers that are degrees', () => {
    const utm =
      'PROJCS["WGS_1984_UTM_Zone_15N",GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",-93.0],PARAMETER["Scale_Factor",0.9996],PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]]';
    const parts = { ...good(), prj: new TextEncoder().encode(utm) };
    expect(codes(parts)).toEqual(['coordinate-system-wrong']);
    expect(codes(parts, { crs: 'WGS 84' })).toEqual(['coordinate-system-overridden']);
  });
});

describe('a damaged record costs itself alone', () => {
  it.each([
    ['a length that runs past the end', (shp: DataView) => shp.setInt32(record(1) + 4, 1e8)],
    ['a length of nothing', (shp: DataView) => shp.setInt32(record(1) + 4, 0)],
    ['a length below zero', (shp: DataView) => shp.setInt32(record(1) + 4, -40)],
    ['a wrong number', (shp: DataView) => shp.setInt32(record(1), 99)],
    ['corners beyond its bytes', (shp: DataView) => shp.setInt32(record(1) + 48, 2 ** 30, true)],
    ['parts below zero', (shp: DataView) => shp.setInt32(record(1) + 44, -1, true)],
    ['a part that starts before it', (shp: DataView) => shp.setInt32(record(1) + 56, -5, true)],
    ['a part that starts past its corners', (shp: DataView) => shp.setInt32(record(1) + 56, 500, true)],
    ['a type that does not exist', (shp: DataView) => shp.setInt32(record(1) + 8, 42, true)],
  ])('%s', (_, change) => {
    const outcome = read(bent('shp', change));
    expect(boundariesIn(outcome).features.map((one) => one.properties['zone'])).toEqual(['A', 'C', 'D', 'E']);
    expect(outcome.problems).toMatchObject([{ code: 'record-damaged', level: 'warning', where: { feature: 2 } }]);
    expect(outcome.ok && outcome.value.reading).toMatchObject({ rows: 5, unusedRows: 1 });
  });
  it('a length that ends too soon is found out by the index', () => {
    const outcome = read(bent('shp', (shp) => shp.setInt32(record(1) + 4, 60)));
    expect(boundariesIn(outcome).features.length).toBe(4);
    expect(outcome.problems.map((one) => one.code)).toEqual(['record-damaged']);
  });
  it('without an index, what follows is lost and counted', () => {
    const { shx, ...parts } = bent('shp', (shp) => shp.setInt32(record(1) + 4, 1e8));
    expect(shx).toBeDefined();
    const outcome = read(parts);
    expect(outcome.problems.map((one) => one.code).sort()).toEqual(['file-ends-early', 'index-missing']);
    expect(outcome.problems.find((one) => one.code === 'file-ends-early')!.text).toMatch(/1 of 5 shapes.*4 are lost/);
    expect(outcome.ok && outcome.value.reading).toMatchObject({ rows: 5, unusedRows: 4 });
  });
});

describe('lines', () => {
  it('closed ones are offered as boundaries, open ones left out', () => {
    const parts = bent('shp', (shp) => {
      shp.setInt32(32, 3, true);
      for (let i = 0; i < 5; i++) shp.setInt32(record(i) + 8, 3, true);
      shp.setFloat64(record(0) + 56, -93.61, true);
    });
    const outcome = read(parts);
    expect(boundariesIn(outcome).features.length).toBe(4);
    expect(outcome.problems.map((one) => one.code)).toEqual(['geometry-other', ...Array(4).fill('line-closed')]);
  });
});

describe('polygons with heights or measures', () => {
  it.each([15, 25])('type %i: the extra numbers behind the corners are passed over', (type) => {
    const flat = good();
    const shp = view(flat['shp']!);
    const extra = 200;
    const starts = zones.map((_, i) => record(i));
    const out = new Uint8Array(shp.byteLength + extra * zones.length);
    out.set(flat['shp']!.subarray(0, 100));
    let at = 100;
    starts.forEach((start, i) => {
      const bytes = shp.getInt32(start + 4) * 2;
      out.set(flat['shp']!.subarray(start, start + 8 + bytes), at);
      view(out).setInt32(at + 4, (bytes + extra) / 2);
      view(out).setInt32(at + 8, type, true);
      at += 8 + bytes + extra;
      expect(i).toBeLessThan(5);
    });
    view(out).setInt32(24, out.length / 2);
    view(out).setInt32(32, type, true);
    const { shx, ...rest } = flat;
    expect(shx).toBeDefined();
    const outcome = read({ ...rest, shp: out });
    expect(boundariesIn(outcome).features.map((one) => one.areaM2)).toEqual(
      boundariesIn(read(good())).features.map((one) => one.areaM2),
    );
  });
});

describe('the table', () => {
  it.each([
    ['is cut in its header', (parts: Parts) => ({ ...parts, dbf: parts['dbf']!.subarray(0, 40) })],
    ['is empty', (parts: Parts) => ({ ...parts, dbf: new Uint8Array(0) })],
    ['claims rows narrower than its columns', (parts: Parts) => (view(parts['dbf']!).setUint16(10, 5, true), parts)],
  ])('%s: shapes stay, without names', (_, change) => {
    const outcome = read(change(good()));
    expect(boundariesIn(outcome).features.map((one) => one.name)[4]).toBe('Field 5');
    expect(outcome.problems).toMatchObject([{ code: 'attributes-damaged', level: 'warning' }]);
  });
  it('cut in its rows keeps the whole ones', () => {
    const parts = good();
    const rowBytes = view(parts['dbf']!).getUint16(10, true);
    const outcome = read({ ...parts, dbf: parts['dbf']!.subarray(0, parts['dbf']!.length - 1 - 2 * rowBytes + 3) });
    expect(boundariesIn(outcome).features.map((one) => one.properties['zone'] ?? '')).toEqual(['A', 'B', 'C', '', '']);
    expect(outcome.problems.map((one) => one.code)).toEqual(['attributes-cut', 'attribute-count']);
  });
  it('a date, a yes and a no, an odd number and a letter cut in half', () => {
    const parts = good();
    parts['dbf'] = table([
      ['day', 'D', 8, '20261103'],
      ['yes', 'L', 1, 'T'],
      ['no', 'L', 1, 'n'],
      ['unknown', 'L', 1, '?'],
      ['odd', 'N', 4, '1,5x'],
      ['text', 'C', 4, 'abcé'],
    ]);
    const outcome = read(parts);
    expect(boundariesIn(outcome).features[0]!.properties).toEqual({
      day: '2026-11-03',
      yes: true,
      no: false,
      unknown: null,
      odd: null,
      text: 'abc',
    });
    expect(outcome.problems.map((one) => one.code)).toEqual(expect.arrayContaining(['number-unreadable', 'text-cut']));
  });
});

/** A .dbf of five equal rows. */
function table(columns: [name: string, type: string, width: number, cell: string][]): Uint8Array {
  const encode = (text: string) => new TextEncoder().encode(text);
  const header = 33 + 32 * columns.length;
  const rowBytes = columns.reduce((sum, [, , width]) => sum + width, 1);
  const bytes = new Uint8Array(header + 5 * rowBytes).fill(0x20, header);
  view(bytes).setUint32(4, 5, true);
  view(bytes).setUint16(8, header, true);
  view(bytes).setUint16(10, rowBytes, true);
  bytes[header - 1] = 0x0d;
  let start = 1;
  columns.forEach(([name, type, width, cell], i) => {
    bytes.set(encode(name), 32 + 32 * i);
    bytes[43 + 32 * i] = type.charCodeAt(0);
    bytes[48 + 32 * i] = width;
    for (let row = 0; row < 5; row++) bytes.set(encode(cell).subarray(0, width), header + row * rowBytes + start);
    start += width;
  });
  return bytes;
}

describe('zips', () => {
  const named = (folder: string) =>
    Object.fromEntries(Object.entries(good()).map(([ending, bytes]) => [`${folder}a.${ending}`, bytes]));
  const readZip = (files: Parts) => readAll(shapefileImporter, bundleOf('fields.zip', zipSync(files)));
  it('without boundaries say what they hold', () => {
    const outcome = readZip({ 'log.csv': new Uint8Array(3), 'read me.txt': new Uint8Array(3) });
    expect(outcome.problems).toMatchObject([{ code: 'zip-without-boundaries', level: 'error' }]);
    expect(outcome.problems[0]!.text).toMatch(/log\.csv, read me\.txt/);
  });
  it('of upper-case names in a folder are read', () => {
    const files = Object.fromEntries(
      Object.entries(named('North 40/')).map(([name, bytes]) => [name.toUpperCase(), bytes]),
    );
    expect(boundariesIn(readZip(files)).features.length).toBe(5);
  });
  it('with a GeoJSON beside a shapefile: both, told, coinciding fields named', () => {
    const geojson = JSON.stringify({ type: 'Polygon', coordinates: zones[0]!.polygon[0] });
    const outcome = readZip({ ...named(''), 'b.geojson': new TextEncoder().encode(geojson) });
    expect(boundariesIn(outcome).features.length).toBe(6);
    expect(outcome.problems.map((one) => one.code)).toEqual(['layers-several', 'shape-twice']);
  });
  it('with one layer that is no boundary: the other is taken, the first told', () => {
    const points = bent('shp', (shp) => shp.setInt32(32, 1, true));
    const outcome = readZip({ ...named(''), 'p.shp': points['shp']! });
    expect(boundariesIn(outcome).features.length).toBe(5);
    expect(outcome.problems.map((one) => one.code)).toEqual(
      expect.arrayContaining(['shape-type-other', 'layers-several']),
    );
  });
  it('are known by name, or by content where there is no ending, and .kmz is not theirs', () => {
    const zip = zipSync(named(''));
    const recognize = (name: string) => shapefileImporter.recognize(bundleOf(name, zip), zip);
    expect(['a.zip', 'a', 'a.kmz', 'a.xlsx'].map(recognize)).toEqual([0.9, 0.9, 0, 0]);
  });
});

describe('bundles', () => {
  it('loose parts go to their .shp by folder and name, whatever the case; other files stay alone', () => {
    const names = ['a.dbf', 'log.csv', 'A.SHP', 'a.shx', 'b/a.shp', 'b.prj', 'a.shp.xml', 'log.csv'];
    const bundles = groupIntoBundles(names.map((name) => sourceOf(name, 'x')));
    expect(bundles.map(({ name, parts }) => [name, parts.length])).toEqual([
      ['A.SHP', 4],
      ['log.csv', 1],
      ['b/a.shp', 1],
      ['b.prj', 1],
      ['log.csv', 1],
    ]);
  });
});
