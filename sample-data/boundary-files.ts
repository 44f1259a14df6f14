/** Outlines in the two shapes that people keep them in: GeoJSON, and a zipped shapefile in a UTM zone. */
import { writeArchive } from '../shared/import/archive.ts';
import { Draws } from './draws.ts';
import { cos, PI, sin } from './elementary.ts';
import { alongRoads, toLonLat } from './ground.ts';
import { FIELDS, ringsOf, type SampleField } from './layout.ts';
import { ringAreaM2, type Corner, type Ring } from './outline.ts';
import { toUtm } from './utm.ts';
import { PATCHES } from './weeds.ts';

const ACRE_M2 = 4046.8564224;
/** Of NAD 83. Zone 16, whose middle is 87° west. */
const UTM_ZONE = 16;
const NAD83_UTM_16N =
  'PROJCS["NAD_1983_UTM_Zone_16N",GEOGCS["GCS_North_American_1983",DATUM["D_North_American_1983",' +
  'SPHEROID["GRS_1980",6378137.0,298.257222101]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],' +
  'PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",0.0],' +
  'PARAMETER["Central_Meridian",-87.0],PARAMETER["Scale_Factor",0.9996],PARAMETER["Latitude_Of_Origin",0.0],' +
  'UNIT["Meter",1.0]]';

const encode = (text: string): Uint8Array => new TextEncoder().encode(text);

function ringText(ring: Ring): string {
  const corners = [...ring, ring[0]!].map(([x, y]) => toLonLat(x, y));
  return `[${corners.map(([lon, lat]) => `[${lon.toFixed(8)},${lat.toFixed(8)}]`).join(',')}]`;
}

function featureText(properties: Readonly<Record<string, string | number>>, type: string, coordinates: string): string {
  return `{"type":"Feature","properties":${JSON.stringify(properties)},"geometry":{"type":"${type}","coordinates":${coordinates}}}`;
}

const collection = (features: readonly string[]): Uint8Array =>
  encode(`{"type":"FeatureCollection","features":[\n${features.join(',\n')}\n]}\n`);

export function northBoundaries(): Uint8Array {
  return collection(
    FIELDS.filter((field) => field.file === 'boundaries.geojson').map((field) => {
      const parts = field.parts.map(({ rings }) => `[${rings.map(ringText).join(',')}]`);
      const properties = { name: field.name, acres: Number((field.areaM2 / ACRE_M2).toFixed(1)) };
      return parts.length === 1
        ? featureText(properties, 'Polygon', parts[0]!)
        : featureText(properties, 'MultiPolygon', `[${parts.join(',')}]`);
    }),
  );
}

/** Rings of the shapefile run the other way round: the outside clockwise. */
function shapeRecord(field: SampleField): { content: Uint8Array; box: [number, number, number, number] } {
  const rings = ringsOf(field).map((ring) =>
    [...ring, ring[0]!]
      .map(([x, y]): Corner => {
        const [lon, lat] = toLonLat(x, y);
        const [east, north] = toUtm(lon, lat, UTM_ZONE);
        return [Number(east.toFixed(4)), Number(north.toFixed(4))];
      })
      .reverse(),
  );
  const points = rings.flat();
  const content = new Uint8Array(44 + 4 * rings.length + 16 * points.length);
  const view = new DataView(content.buffer);
  const box = boxOfPoints(points);
  view.setInt32(0, 5, true);
  box.forEach((value, i) => view.setFloat64(4 + 8 * i, value, true));
  view.setInt32(36, rings.length, true);
  view.setInt32(40, points.length, true);
  let start = 0;
  rings.forEach((ring, i) => {
    view.setInt32(44 + 4 * i, start, true);
    start += ring.length;
  });
  points.forEach(([east, north], i) => {
    view.setFloat64(44 + 4 * rings.length + 16 * i, east, true);
    view.setFloat64(52 + 4 * rings.length + 16 * i, north, true);
  });
  return { content, box };
}

function boxOfPoints(points: readonly Corner[]): [number, number, number, number] {
  const easts = points.map(([east]) => east);
  const norths = points.map(([, north]) => north);
  return [Math.min(...easts), Math.min(...norths), Math.max(...easts), Math.max(...norths)];
}

function header(bytes: number, box: readonly number[]): Uint8Array {
  const content = new Uint8Array(100);
  const view = new DataView(content.buffer);
  view.setInt32(0, 9994);
  view.setInt32(24, bytes / 2);
  view.setInt32(28, 1000, true);
  view.setInt32(32, 5, true);
  box.forEach((value, i) => view.setFloat64(36 + 8 * i, value, true));
  return content;
}

function joined(parts: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(parts.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const one of parts) {
    all.set(one, at);
    at += one.length;
  }
  return all;
}

function tableOf(fields: readonly SampleField[]): Uint8Array {
  const columns = [
    { name: 'NAME', type: 'C', width: 20, decimals: 0 },
    { name: 'ACRES', type: 'N', width: 8, decimals: 1 },
  ];
  const width = 1 + columns.reduce((sum, column) => sum + column.width, 0);
  const head = new Uint8Array(33 + 32 * columns.length);
  const view = new DataView(head.buffer);
  head.set([3, 126, 2, 12]);
  view.setInt32(4, fields.length, true);
  view.setInt16(8, head.length, true);
  view.setInt16(10, width, true);
  columns.forEach(({ name, type, width: wide, decimals }, i) => {
    head.set(encode(name), 32 + 32 * i);
    head.set(encode(type), 43 + 32 * i);
    head.set([wide, decimals], 48 + 32 * i);
  });
  head[head.length - 1] = 13;
  const rows = fields.map((field) => ` ${field.name.padEnd(20)}${(field.areaM2 / ACRE_M2).toFixed(1).padStart(8)}`);
  return joined([head, encode(rows.join('')), new Uint8Array([26])]);
}

/** @source Esri shapefile technical description, July 1998: big-endian lengths in 16-bit words, outer rings clockwise. */
export function southFields(): Uint8Array {
  const fields = FIELDS.filter((field) => field.file === 'south-fields.zip');
  const records = fields.map(shapeRecord);
  const box = boxOfPoints(
    records.flatMap(({ box: [w, s, e, n] }): Corner[] => [
      [w, s],
      [e, n],
    ]),
  );
  const shapes: Uint8Array[] = [];
  const index: Uint8Array[] = [];
  let at = 100;
  records.forEach(({ content }, i) => {
    const [start, place] = [new Uint8Array(8), new Uint8Array(8)];
    new DataView(start.buffer).setInt32(0, i + 1);
    new DataView(start.buffer).setInt32(4, content.length / 2);
    new DataView(place.buffer).setInt32(0, at / 2);
    new DataView(place.buffer).setInt32(4, content.length / 2);
    shapes.push(start, content);
    index.push(place);
    at += 8 + content.length;
  });
  return writeArchive([
    { name: 'south-fields.shp', bytes: joined([header(at, box), ...shapes]) },
    { name: 'south-fields.shx', bytes: joined([header(100 + 8 * fields.length, box), ...index]) },
    { name: 'south-fields.dbf', bytes: tableOf(fields) },
    { name: 'south-fields.prj', bytes: encode(NAD83_UTM_16N) },
    { name: 'south-fields.cpg', bytes: encode('UTF-8') },
  ]);
}

/** Patches that somebody drew from the cab: about where the weed stands, never quite. Two fields. */
export function drawnPatches(): Uint8Array {
  const draws = new Draws('drawn patches');
  const features = ['home', 'old-lane'].flatMap((id) => {
    const field = FIELDS.find((one) => one.id === id)!;
    return PATCHES[id]!.map((patch) => {
      const angle = (patch.alongDeg * PI) / 180;
      const stretch = 1.3 * draws.between(0.9, 1.15);
      const ring: Corner[] = Array.from({ length: 14 }, (_, k) => {
        const around = (-2 * PI * k) / 14;
        const wobble = stretch * draws.between(0.9, 1.1);
        const [along, aside] = [patch.longM * wobble * cos(around), patch.acrossM * wobble * sin(around)];
        return alongRoads([
          patch.at[0] + along * sin(angle) + aside * cos(angle),
          patch.at[1] + along * cos(angle) - aside * sin(angle),
        ]);
      });
      const density = patch.peakPerM2 > 6 ? 'thick' : patch.peakPerM2 > 2 ? 'medium' : 'thin';
      const species = patch.species === 'SETFA' ? 'giant foxtail' : 'waterhemp';
      const outside = ringAreaM2(ring) > 0 ? ring : [...ring].reverse();
      return featureText(
        { field: field.name, species, density, drawn: '2026-08-28' },
        'Polygon',
        `[${ringText(outside)}]`,
      );
    });
  });
  return collection(features);
}
