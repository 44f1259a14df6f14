import { describe, expect, it } from 'vitest';
import type { Exporter, ZoneFeature } from '../../../shared/export/exporter.ts';
import { geojsonExporter } from '../../../shared/export/geojson.ts';
import { shapefileExporter } from '../../../shared/export/shapefile.ts';
import { geodesicAreaM2 } from '../../../shared/geometry/geodesic.ts';
import { writeArchive } from '../../../shared/import/archive.ts';
import { geojsonImporter } from '../../../shared/import/geojson.ts';
import { shapefileImporter } from '../../../shared/import/shapefile.ts';
import { boundariesIn, bundleOf, readAll, sourceOf } from '../../support/bundle.ts';
import { closeTo } from '../../support/close-to.ts';
import { zones } from './zones.ts';

const units = { rate: 'gal/ac' } as const;

/** Every way out and in again. */
const ways: [string, (given: readonly ZoneFeature[]) => ReturnType<typeof readAll>][] = [
  [
    'GeoJSON',
    (given) => readAll(geojsonImporter, bundleOf('zones.geojson', written(geojsonExporter, given)[0]!.bytes)),
  ],
  [
    'loose shapefile',
    (given) =>
      readAll(shapefileImporter, {
        name: 'zones.shp',
        parts: written(shapefileExporter, given).map((file) => sourceOf(file.name, file.bytes)),
      }),
  ],
  [
    'zipped shapefile',
    (given) => readAll(shapefileImporter, bundleOf('zones.zip', writeArchive(written(shapefileExporter, given)))),
  ],
];

function written(exporter: Exporter, given: readonly ZoneFeature[]) {
  return exporter.write(given, { name: 'zones', units }).files;
}

describe.each(ways)('export then import through a %s', (way, go) => {
  const exact = way !== 'GeoJSON';
  it('gives back every zone: area, parts, holes, corners', () => {
    const { features } = boundariesIn(go(zones));
    expect(features.length).toBe(zones.length);
    features.forEach((feature, i) => {
      const given = zones[i]!.polygon;
      closeTo(feature.areaM2, geodesicAreaM2(given), {
        within: exact ? 1e-6 : 0.05,
        because: exact ? 'corners are bit for bit' : 'corners are rounded to 0.05 mm over a kilometre of edge',
      });
      expect(feature.polygon.map((rings) => rings.length)).toEqual(given.map((rings) => rings.length));
      const corners = (polygon: typeof given) =>
        polygon
          .flat(2)
          .map((corner) => corner.map((value) => value.toFixed(9)).join())
          .sort();
      expect(corners(feature.polygon)).toEqual(corners(given));
    });
  });

  it('gives back the attributes, up to the losses that are stated', () => {
    const { features } = boundariesIn(go(zones));
    features.forEach((feature, i) => {
      for (const [column, value] of Object.entries(zones[i]!.properties)) {
        const there = column === 'rate' && way === 'GeoJSON' ? 'rate_gal_ac' : column;
        // A .dbf cannot tell a missing text from an empty one.
        const expected = exact && value === null && column === 'name' ? '' : value;
        expect(feature.properties[there] ?? null).toEqual(expected);
      }
    });
  });

  it('finds nothing to complain of', () => {
    expect(go(zones).problems).toEqual([]);
  });

  it('does not depend on the order of zones', () => {
    const back = boundariesIn(go([...zones].reverse())).features;
    expect(back.map((feature) => feature.areaM2).reverse()).toEqual(
      boundariesIn(go(zones)).features.map((feature) => feature.areaM2),
    );
  });
});
