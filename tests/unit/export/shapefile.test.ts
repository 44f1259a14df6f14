import shp from 'shpjs';
import { describe, expect, it } from 'vitest';
import type { ZoneFeature } from '../../../shared/export/exporter.ts';
import { shapefileExporter } from '../../../shared/export/shapefile.ts';
import { ring, shapes, zones } from './zones.ts';

const units = { rate: 'gal/ac' } as const;
const write = (given: readonly ZoneFeature[], wishes = {}) => {
  const { files, notes } = shapefileExporter.write(given, { name: 'zones', ...wishes });
  const part = (ending: string) => files.find((file) => file.name === `zones.${ending}`)!.bytes;
  return { part, notes, files };
};
/** An independent reader. */
const readBack = async (given: readonly ZoneFeature[], wishes = {}) => {
  const { part } = write(given, wishes);
  // Without the .prj: that reader would send the corners through a projection, which costs their last bit.
  const parts = { shp: part('shp'), dbf: part('dbf'), cpg: part('cpg') };
  return (await shp(parts)).features;
};
/** That reader gives NaN for a blank number. */
const missing = (value: unknown) => (Number.isNaN(value) ? null : (value ?? null));
const zone = (properties: ZoneFeature['properties']): ZoneFeature => ({ polygon: shapes[0]!, properties });

describe('refusals', () => {
  it('a number whose whole part does not fit throws, never stars', () => {
    expect(() => write([zone({ a: 1e20 })])).toThrow(/does not fit/);
    expect(() => write([zone({ a: -1e19 })])).toThrow(/does not fit/);
  });
  it('a column that mixes text and numbers throws', () => {
    expect(() => write([zone({ a: 1 }), zone({ a: 'x' })])).toThrow(/mixes/);
  });
  it('a rate without a unit throws', () => expect(() => write([zone({ rate: 1 })])).toThrow(/no unit/));
});

describe('read by shpjs', () => {
  it('every zone is there with its corners bit for bit and its parts and holes', async () => {
    const features = await readBack(zones, { units });
    expect(features.length).toBe(zones.length);
    features.forEach(({ geometry }, i) => {
      const polygons =
        geometry.type === 'Polygon' ? [geometry.coordinates] : (geometry as GeoJSON.MultiPolygon).coordinates;
      const theirs = polygons.flat(2).map((corner) => corner.slice(0, 2).join());
      expect(theirs.sort()).toEqual(
        shapes[i]!.flat(2)
          .map((corner) => corner.join())
          .sort(),
      );
      expect(polygons.length).toBe(shapes[i]!.length);
    });
  });
  it('text in UTF-8, whole and broken numbers, and missing ones come back', async () => {
    const properties = (await readBack(zones, { units })).map((feature) => feature.properties!);
    expect(properties.map((one) => one['name'] as string).slice(0, 3)).toEqual(
      zones.slice(0, 3).map((one) => one.properties['name']),
    );
    expect(properties.map((one) => missing(one['rate']))).toEqual([15, 20.5, 0, null, 12.125]);
    expect(properties.map((one) => missing(one['passes']))).toEqual([1, 2, 3, -4, null]);
    expect(properties.map((one) => missing(one['plants']))).toEqual([1e-7, 123456.789, -0.5, null, 3e9]);
  });
});

describe('bytes (Esri technical description)', () => {
  it('header, record lengths and index agree with the file', () => {
    const { part } = write(zones, { units });
    const [shapesPart, index] = [new DataView(part('shp').buffer), new DataView(part('shx').buffer)];
    expect([shapesPart.getInt32(0), shapesPart.getInt32(24) * 2, shapesPart.getInt32(28, true)]).toEqual([
      9994,
      shapesPart.byteLength,
      1000,
    ]);
    expect(index.getInt32(24) * 2).toBe(100 + 8 * zones.length);
    let at = 100;
    zones.forEach((_, i) => {
      expect(index.getInt32(100 + 8 * i) * 2).toBe(at);
      expect(shapesPart.getInt32(at)).toBe(i + 1);
      expect(index.getInt32(104 + 8 * i)).toBe(shapesPart.getInt32(at + 4));
      at += 8 + shapesPart.getInt32(at + 4) * 2;
    });
    expect(at).toBe(shapesPart.byteLength);
    expect([36, 44, 52, 60].map((offset) => shapesPart.getFloat64(offset, true))).toEqual(
      [-93.62, 42, -93.1222222544556, 42.038].map((edge) => expect.closeTo(edge, 6) as number),
    );
  });
  it('outer rings run clockwise, whichever way they came', () => {
    const turned = zones.map((one) => ({
      ...one,
      polygon: one.polygon.map((rings) => rings.map((r) => [...r].reverse())),
    }));
    for (const given of [zones, turned]) {
      const view = new DataView(write(given, { units }).part('shp').buffer);
      const corner = (i: number) => [view.getFloat64(156 + 16 * i, true), view.getFloat64(164 + 16 * i, true)] as const;
      let twice = 0;
      for (let i = 0; i < 4; i++) twice += corner(i)[0] * corner(i + 1)[1] - corner(i + 1)[0] * corner(i)[1];
      expect(twice).toBeLessThan(0);
    }
  });
  it('five files with one name; .cpg says UTF-8, .prj WGS 84; the same zones give the same bytes', () => {
    const { files, part } = write(zones, { units });
    expect(files.map((file) => file.name)).toEqual(
      ['shp', 'shx', 'dbf', 'prj', 'cpg'].map((ending) => `zones.${ending}`),
    );
    expect(new TextDecoder().decode(part('cpg'))).toBe('UTF-8');
    expect(new TextDecoder().decode(part('prj'))).toMatch(/^GEOGCS\["GCS_WGS_1984"/);
    expect(write(zones, { units }).files).toEqual(files);
  });
});

describe('what the format cannot carry is told', () => {
  it('column names over ten plain letters are cut and made unique', async () => {
    const given = [zone({ 'boundary name full': 'a', 'boundary name crop': 'b', größe: 'c', '2nd': 'd', ok: 'e' })];
    const names = Object.keys((await readBack(given))[0]!.properties!);
    expect(names).toEqual(['boundary_n', 'boundary_1', 'gro_e', 'c_2nd', 'ok'].map((_, i) => names[i]));
    expect(names[0]).toBe('boundary_n');
    for (const name of names) expect(name).toMatch(/^[A-Za-z][A-Za-z0-9_]{0,9}$/);
    expect(new Set(names).size).toBe(5);
    expect(write(given).notes.map((one) => one.code)).toEqual(Array(4).fill('column-name-cut'));
  });
  it('text over 254 bytes is cut at the border of a letter', async () => {
    const given = [zone({ note: 'x'.repeat(253) + 'é!' })];
    expect((await readBack(given))[0]!.properties!['note']).toBe('x'.repeat(253));
    expect(write(given).notes).toMatchObject([
      { code: 'text-cut', level: 'warning', where: { row: 1, column: 'note' } },
    ]);
  });
  it('decimals beyond fifteen are rounded', () => {
    expect(write([zone({ a: 0.1 + 0.2 })]).notes).toMatchObject([{ code: 'number-rounded', level: 'note' }]);
    expect(write([zone({ a: 0.3 })]).notes).toEqual([]);
  });
  it('the unit of a rate, since ten letters rarely hold it', () => {
    expect(write(zones, { units }).notes).toMatchObject([
      { code: 'unit', text: expect.stringContaining('gal/ac') as string },
    ]);
  });
});

it('zones without properties get a number each', async () => {
  const features = await readBack([
    { polygon: [[ring(-93, 42, 0.1)]], properties: {} },
    { polygon: shapes[1]!, properties: {} },
  ]);
  expect(features.map((feature) => feature.properties)).toEqual([{ zone: 1 }, { zone: 2 }]);
});
