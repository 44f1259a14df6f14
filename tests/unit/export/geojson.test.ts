import { describe, expect, it } from 'vitest';
import { geojsonExporter } from '../../../shared/export/geojson.ts';
import type { ExportWishes, ZoneFeature } from '../../../shared/export/exporter.ts';
import { ring, shapes, zones } from './zones.ts';

const units = { rate: 'gal/ac' } as const;
const parse = (given: readonly ZoneFeature[], wishes = {}) => {
  const { files, notes } = geojsonExporter.write(given, { name: 'zones', ...wishes });
  const text = new TextDecoder().decode(files[0]!.bytes);
  return { root: JSON.parse(text) as GeoJSON.FeatureCollection, text, notes, files };
};

describe('refusals', () => {
  const zone = (properties: ZoneFeature['properties'], polygon = shapes[0]!): ZoneFeature => ({ polygon, properties });
  it.each([
    ['a rate without a unit', [zone({ rate: 15 })], {}, /rate “rate” has no unit/],
    ['a unit for a column that is not there', [zone({ a: 1 })], { units: { b: 'gal/ac' } }, /no zone has/],
    ['a number that is none', [zone({ a: NaN })], {}, /NaN/],
    ['a zone without area', [zone({}, [])], {}, /no area/],
    ['a ring that is not closed', [zone({}, [[ring(-93, 42, 1).slice(0, 4)]])], {}, /not closed/],
    ['a ring of three corners', [zone({}, [[ring(-93, 42, 1).slice(0, 3)]])], {}, /3 corners/],
    ['a corner off the Earth', [zone({}, [[ring(448678, 4653404, 1)]])], {}, /448678/],
    ['two properties that would bear one name', [zone({ rate: 1, rate_gal_ac: 'x' })], { units }, /both/],
    ['a name with a folder', [zone({})], { name: '../zones' }, /bad file name/],
  ])('%s throws before anything is written', (_, given, wishes, why) => {
    expect(() => geojsonExporter.write(given, { name: 'zones', ...(wishes as Partial<ExportWishes>) })).toThrow(why);
  });
});

it('no zones make an empty collection', () => {
  expect(parse([]).root).toEqual({ type: 'FeatureCollection', features: [] });
});

describe('laws', () => {
  it('outer rings run counter-clockwise, holes clockwise, whichever way they came (RFC 7946 3.1.6)', () => {
    const turned = zones.map((zone) => ({
      ...zone,
      polygon: zone.polygon.map((rings) => rings.map((one) => [...one].reverse())),
    }));
    expect(parse(turned, { units }).root.features.map((one) => one.geometry.type)).toEqual(
      parse(zones, { units }).root.features.map((one) => one.geometry.type),
    );
    for (const given of [zones, turned]) {
      for (const { geometry } of parse(given, { units }).root.features) {
        const polygons =
          geometry.type === 'Polygon' ? [geometry.coordinates] : (geometry as GeoJSON.MultiPolygon).coordinates;
        for (const rings of polygons) rings.forEach((one, r) => expect(area(one) > 0).toBe(r === 0));
      }
    }
  });
  it('corners stay within half of the ninth decimal', () => {
    parse(zones, { units }).root.features.forEach(({ geometry }, i) => {
      const flat = (geometry as GeoJSON.Polygon).coordinates.flat(Infinity as 1) as unknown as number[];
      const given = new Set(shapes[i]!.flat(3) as unknown as number[]);
      for (const value of flat)
        expect(Math.min(...[...given].map((one) => Math.abs(one - value)))).toBeLessThanOrEqual(5.1e-10);
    });
  });
  it('the same zones give the same bytes', () => {
    expect(parse(zones, { units }).files).toEqual(parse(zones, { units }).files);
  });
});

it('a rate carries its unit in its name and in a note', () => {
  const { root, notes } = parse(zones, { units });
  expect(root.features[0]!.properties).toEqual({
    zone: 'A',
    name: 'Home quarter',
    rate_gal_ac: 15,
    passes: 1,
    plants: 1e-7,
  });
  expect(notes).toMatchObject([{ code: 'unit', level: 'note', text: '“rate_gal_ac” is in gal/ac.' }]);
});

it('has no crs member: WGS 84 goes without saying (RFC 7946 4)', () => {
  expect(Object.keys(parse(zones, { units }).root)).toEqual(['type', 'features']);
});

function area(one: GeoJSON.Position[]): number {
  return one.slice(1).reduce((sum, [x, y], i) => sum + one[i]![0]! * y! - x! * one[i]![1]!, 0);
}
