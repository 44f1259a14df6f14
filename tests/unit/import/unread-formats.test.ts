import { describe, expect, it } from 'vitest';
import { unreadFormat } from '../../../shared/import/unread-formats.ts';
import { bundleOf } from '../../support/bundle.ts';

const told = (name: string, start = '') => unreadFormat(bundleOf(name, start), new TextEncoder().encode(start));

describe('formats that are not read yet', () => {
  it.each([
    ['fields.kml', '', 'KML'],
    ['FIELDS.KMZ', 'PK\x03\x04', 'KMZ'],
    ['fields.gpkg', '', 'GeoPackage'],
    ['fields.db', 'SQLite format 3\0', 'GeoPackage'],
    ['fields.fgb', '', 'FlatGeobuf'],
    ['fields', '<?xml version="1.0"?>\n<kml xmlns="http://www.opengis.net/kml/2.2">', 'KML'],
    ['book.xlsx', 'PK\x03\x04', 'spreadsheet'],
  ])('%s is told as %s', (name, start, title) => {
    const problem = told(name, start);
    expect(problem).toMatchObject({ code: 'format-not-read', level: 'error', where: { file: name } });
    expect(problem!.text).toContain(title);
    expect(problem!.hint).toMatch(/GeoJSON|csv/);
  });

  it.each([
    ['fields.geojson', '{"type":"FeatureCollection"'],
    ['fields.shp', ''],
    ['fields.zip', 'PK\x03\x04'],
    ['log.csv', 'lon,lat'],
    ['kml.csv', 'name\nkml'],
  ])('%s is none of them', (name, start) => expect(told(name, start)).toBeNull());
});
