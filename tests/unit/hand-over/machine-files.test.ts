import { describe, expect, test } from 'vitest';
import { exporters } from '../../../shared/export/exporters.ts';
import { geodesicAreaM2 } from '../../../shared/geometry/geodesic.ts';
import type { LonLat, MultiPolygon } from '../../../shared/geometry/types.ts';
import { type FieldZonesOut, machineFiles, plannedZones, zipped } from '../../../shared/hand-over/machine-files.ts';
import { openArchive } from '../../../shared/import/archive.ts';
import { readBack } from '../../../shared/import/read-back.ts';
import { geojsonImporter } from '../../../shared/import/geojson.ts';
import { shapefileImporter } from '../../../shared/import/shapefile.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import { groundOutside } from '../../../shared/zones/outside-zones.ts';
import { boundariesIn, bundleOf, readAll } from '../../support/bundle.ts';
import { closeTo } from '../../support/close-to.ts';

/** A rectangle of degrees with its south-west corner at (lon, lat). */
function box(lon: number, lat: number, width: number, height: number): MultiPolygon {
  const corner = (x: number, y: number): LonLat => [lon + x * width, lat + y * height];
  return [[[corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1), corner(0, 0)]]];
}
const boundary = box(-93, 42, 0.01, 0.006);
const field = {
  id: 'west',
  name: 'West',
  ours: true,
  frameOrigin: [-92.995, 42.003],
  boundary: boundary as Farm['fields'][number]['boundary'],
  exclusions: [{ id: 'pond', kind: 'pond', area: box(-92.9995, 42.0005, 0.0004, 0.0004), bufferM: 0 }],
} as Farm['fields'][number];
const product = (id: string, name: string, unit: string) => ({
  id,
  name,
  unit,
  parts: [{ ingredient: 'x', group: '15', gPerUnit: 1 }],
  form: 'liquid' as const,
  label: { full: 2 },
});
const farm: Farm = {
  ...emptyFarm('farm', 'Farm'),
  invented: true,
  fields: [field],
  products: [product('p', 'Product P', 'fl oz/ac'), product('q', 'Product Q', 'fl oz/ac')],
};
const zone = (id: string, area: MultiPolygon) => ({ id, area, areaM2: geodesicAreaM2(area), why: 'likely infested' });
const zones = [zone('west-A', box(-92.998, 42.001, 0.002, 0.002)), zone('west-B', box(-92.994, 42.002, 0.001, 0.003))];
const rates = [
  { pass: 'pre', product: 'p', perArea: 20, unit: 'fl oz/ac', rateMeans: 'product' as const },
  { pass: 'pre', product: 'q', perArea: 6.4, unit: 'fl oz/ac', rateMeans: 'product' as const },
];
const order = {
  pass: 'pre',
  where: 'zones',
  volumeLHa: 140,
  outsideFraction: 0,
  positionLost: 'nothing',
} as const satisfies NonNullable<Farm['plan'][number]['orders']>[number];
const out: FieldZonesOut = { field, zones, rates, order };
const asked = { name: 'west-2027-pre', title: 'West' };

function made(fields: readonly FieldZonesOut[], format: string) {
  const outcome = machineFiles(farm, fields, { ...asked, format });
  if (!outcome.ok) throw new Error(outcome.problems.map((one) => one.text).join(' '));
  return outcome.value;
}

describe.each(exporters.map((one) => one.id))('as %s', (format) => {
  const files = made([out], format);
  test('they are read back: zones and area', () => {
    expect(files.readBack.features).toBe(2);
    closeTo(files.readBack.areaM2, zones[0]!.areaM2 + zones[1]!.areaM2, { within: 0.2, because: '9 decimals' });
  });
  test('the zip holds every part and a read-me with units, cautions and that the farm is invented', () => {
    const entries = openArchive(zipped(files));
    if (!entries.ok) throw new Error('not a zip');
    expect(entries.value.map((one) => one.name)).toEqual([...files.files.map((one) => one.name), 'README.txt']);
    expect(files.readMe).toMatch(/THIS FARM IS INVENTED/);
    expect(files.readMe).toMatch(/rate +rate of Product P, as typed from its label \(fl oz\/ac\)/);
    expect(files.readMe).toMatch(/volume +spray volume, as set \(gal\/ac\)/);
    expect(files.readMe).toContain('The product label is the law.');
    expect(files.readMe).toMatch(/Outside the zones the machine\s+applies nothing\./);
    expect(files.readMe.split('\r\n').every((line) => line.length <= 100)).toBe(true);
  });
});

test('rates and units come back from the GeoJSON under names that say the unit', () => {
  const { features } = boundariesIn(
    readAll(geojsonImporter, bundleOf('a.geojson', made([out], 'geojson').files[0]!.bytes)),
  );
  expect(features[0]!.properties).toMatchObject({ zone: 'west-A', rate_fl_oz_ac: 20, rate_2_fl_oz_ac: 6.4 });
  expect(features[0]!.properties['volume_gal_ac']).toBeCloseTo(14.967, 3);
});

test('the zipped shapefile is read whole, its read-me left aside', () => {
  const outcome = readAll(shapefileImporter, bundleOf('a.zip', zipped(made([out], 'shapefile'))));
  expect(boundariesIn(outcome).features).toHaveLength(2);
  expect(outcome.problems.filter((one) => one.level === 'error')).toEqual([]);
});

test('with a rate outside the zones, the ground between is a zone of its own, without the exclusion', () => {
  const { features } = boundariesIn(
    readAll(
      geojsonImporter,
      bundleOf('a.geojson', made([{ ...out, order: { ...order, outsideFraction: 0.7 } }], 'geojson').files[0]!.bytes),
    ),
  );
  const outside = features.find((one) => one.properties['zone'] === 'outside')!;
  expect(outside.properties['rate_fl_oz_ac']).toBeCloseTo(14, 9);
  const whole = geodesicAreaM2(boundary) - geodesicAreaM2(field.exclusions[0]!.area as MultiPolygon);
  closeTo(outside.areaM2, whole - zones[0]!.areaM2 - zones[1]!.areaM2, {
    within: 0.5,
    because: '0.1 mm grid along 5 km of edges',
  });
  closeTo(groundOutside(field, []).areaM2, whole, { within: 0.5, because: '0.1 mm grid along 4 km of edges' });
});

test('a machine that follows the spray volume gets it as the rate', () => {
  const volume = made(
    [{ ...out, rates: rates.map((one) => ({ ...one, rateMeans: 'spray volume' as const })) }],
    'geojson',
  );
  const { features } = boundariesIn(readAll(geojsonImporter, bundleOf('a.geojson', volume.files[0]!.bytes)));
  expect(features[0]!.properties['rate_gal_ac']).toBeCloseTo(14.967, 3);
  expect(features[0]!.properties['rate_1_fl_oz_ac']).toBe(20);
});

test('rates in two units are refused in one file, and so are units that nobody knows', () => {
  const other: FieldZonesOut = {
    field: { ...field, id: 'east', name: 'East' },
    zones: [zone('east-A', box(-92.99, 42.001, 0.002, 0.002))],
    rates: [{ ...rates[0]!, perArea: 1.5, unit: 'L/ha' }],
    order,
  };
  const mixed = machineFiles(farm, [out, other], { ...asked, format: 'geojson' });
  expect(mixed.problems.map((one) => one.code)).toEqual(['units-mixed']);
  const strange = { ...out, rates: [{ ...rates[0]!, unit: 'cups/ac' }] };
  expect(machineFiles(farm, [strange], { ...asked, format: 'geojson' }).problems[0]!.code).toBe('rate-unit');
});

test('a zone’s own choice goes before its field’s', () => {
  const planned: Farm = {
    ...farm,
    plan: [
      { season: 2027, target: { field: 'west' }, program: 'as-now', rates, orders: [order] },
      { season: 2027, target: { zone: 'west-B' }, program: 'as-now', rates: [{ ...rates[0]!, perArea: 24 }] },
    ],
  };
  const groups = plannedZones(planned, field, zones, 2027);
  expect(groups.map((one) => [one.zones.map((it) => it.id), one.rates.map((it) => it.perArea)])).toEqual([
    [['west-A'], [20, 6.4]],
    [['west-B'], [24]],
  ]);
});

describe('reading back refuses what is not what was meant', () => {
  const { files } = made([out], 'geojson');
  const meant = zones.map((one) => ({ polygon: one.area, rate: 20 }));
  test('as it was meant', () => expect(readBack(files, meant)).toMatchObject({ ok: true }));
  test.each([
    ['a zone more', [...meant, meant[0]!]],
    ['a zone elsewhere', [{ ...meant[0]!, polygon: box(-92.998, 42.001, 0.0021, 0.002) }, meant[1]!]],
    ['another rate', [{ ...meant[0]!, rate: 21 }, meant[1]!]],
  ])('%s', (_what, wanted) => {
    expect(readBack(files, wanted).problems.map((one) => one.code)).toEqual(['read-back']);
  });
  test('a file that was cut short', () => {
    const cut = [{ name: 'a.geojson', bytes: files[0]!.bytes.slice(0, 400) }];
    expect(readBack(cut, meant).ok).toBe(false);
  });
});
