/**
 * Zones as a shapefile: .shp, .shx, .dbf, .prj (WGS 84) and .cpg (UTF-8). One record a zone, outer rings clockwise, holes
 * counter-clockwise, corners bit for bit. The npm writers lose features in silence, so this one is our own.
 * @source Esri shapefile technical description, July 1998; judged by GDAL 3.6.2 once by hand and by shpjs in the tests.
 */
import type { LonLat, MultiPolygon } from '../geometry/types.ts';
import { problem, type Problem } from '../model/problem.ts';
import { UNITS } from '../units/units.ts';
import { checkZones, columnsOf, ringTurn, type Exporter, type ZoneFeature } from './exporter.ts';
import { writeTable } from './shapefile-table.ts';

const WGS84 =
  'GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]';
const HEADER = 100;
const POLYGON = 5;

export const shapefileExporter: Exporter = {
  id: 'shapefile',
  title: 'Shapefile',
  extension: '.shp',

  write(zones, wishes) {
    checkZones(zones, wishes);
    const table = writeTable(
      columnsOf(zones),
      zones.map((zone) => zone.properties),
    );
    const notes: Problem[] = [...table.notes];
    for (const [column, unit] of Object.entries(wishes.units ?? {})) {
      const text = `“${table.names.get(column)!}” is in ${UNITS[unit].symbol || unit}; the file itself cannot say so.`;
      notes.push(problem('note', 'unit', text, { where: { column } }));
    }
    const { shp, shx } = writeShapes(zones);
    const text = (content: string) => new TextEncoder().encode(content);
    return {
      files: [
        { name: `${wishes.name}.shp`, bytes: shp },
        { name: `${wishes.name}.shx`, bytes: shx },
        { name: `${wishes.name}.dbf`, bytes: table.dbf },
        { name: `${wishes.name}.prj`, bytes: text(WGS84) },
        { name: `${wishes.name}.cpg`, bytes: text('UTF-8') },
      ],
      notes,
    };
  },
};

function writeShapes(zones: readonly ZoneFeature[]): { shp: Uint8Array; shx: Uint8Array } {
  const records = zones.map(({ polygon }) =>
    polygon.flatMap((rings) => rings.map((ring, r) => (ringTurn(ring) < 0 === (r === 0) ? ring : [...ring].reverse()))),
  );
  const sizes = records.map((rings) => 44 + rings.length * 4 + rings.reduce((sum, ring) => sum + ring.length, 0) * 16);
  const shpBytes = sizes.reduce((sum, size) => sum + 8 + size, HEADER);
  if (shpBytes > 2 ** 31) throw new Error(`export: a shapefile of ${shpBytes} bytes is over the format's 2 GiB`);
  const shp = new DataView(new ArrayBuffer(shpBytes));
  const shx = new DataView(new ArrayBuffer(HEADER + 8 * zones.length));
  const all = boxOf(zones.flatMap((zone) => zone.polygon));
  writeHeader(shp, all);
  writeHeader(shx, all);
  let at = HEADER;
  records.forEach((rings, i) => {
    const size = sizes[i]!;
    shx.setInt32(HEADER + 8 * i, at / 2);
    shx.setInt32(HEADER + 8 * i + 4, size / 2);
    shp.setInt32(at, i + 1);
    shp.setInt32(at + 4, size / 2);
    shp.setInt32(at + 8, POLYGON, true);
    boxOf(zones[i]!.polygon).forEach((edge, k) => shp.setFloat64(at + 12 + 8 * k, edge, true));
    shp.setInt32(at + 44, rings.length, true);
    shp.setInt32(
      at + 48,
      rings.reduce((sum, ring) => sum + ring.length, 0),
      true,
    );
    let corner = 0;
    const cornersAt = at + 52 + 4 * rings.length;
    rings.forEach((ring, r) => {
      shp.setInt32(at + 52 + 4 * r, corner, true);
      for (const [lon, lat] of ring) {
        shp.setFloat64(cornersAt + 16 * corner, lon, true);
        shp.setFloat64(cornersAt + 16 * corner + 8, lat, true);
        corner++;
      }
    });
    at += 8 + size;
  });
  return { shp: new Uint8Array(shp.buffer), shx: new Uint8Array(shx.buffer) };
}

function writeHeader(view: DataView, box: readonly number[]): void {
  view.setInt32(0, 9994);
  view.setInt32(24, view.byteLength / 2);
  view.setInt32(28, 1000, true);
  view.setInt32(32, POLYGON, true);
  box.forEach((edge, k) => view.setFloat64(36 + 8 * k, edge, true));
}

/** Zeros for no zone at all, as the format has it. */
function boxOf(polygon: MultiPolygon): [number, number, number, number] {
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  const take = ([lon, lat]: LonLat) => {
    west = Math.min(west, lon);
    south = Math.min(south, lat);
    east = Math.max(east, lon);
    north = Math.max(north, lat);
  };
  for (const rings of polygon) rings[0]?.forEach(take);
  return west <= east ? [west, south, east, north] : [0, 0, 0, 0];
}
