/**
 * GeoJSON boundaries and drawn patches: RFC 7946, and files from before it that carry a crs member, a byte order mark, a bare
 * geometry, unclosed rings or reversed winding.
 * @source RFC 7946; methods-spatial §15; reference/file-interop.
 */
import type { LonLat } from '../geometry/types.ts';
import { problem, refused, type Outcome, type Problem } from '../model/problem.ts';
import { assembleBoundaries, type Candidate, type Scalar } from './boundaries.ts';
import { readWhole } from './bundle-bytes.ts';
import { toDegrees, type InDegrees, type SystemClue } from './coordinate-system.ts';
import type { Bundle, Importer, ReadFile, ReadingWishes } from './importer.ts';
import { findJsonBreak } from './json-break.ts';

export const geojsonImporter: Importer = {
  id: 'geojson',
  title: 'GeoJSON',

  recognize(bundle: Bundle, head: Uint8Array): number {
    if (/\.geojson$/i.test(bundle.name)) return 1;
    const start = new TextDecoder().decode(head.subarray(0, 2000)).replace('\ufeff', '').trimStart();
    if (!start.startsWith('{')) return 0;
    if (/"type"\s*:\s*"(FeatureCollection|Feature|Polygon|MultiPolygon|GeometryCollection)"/.test(start)) return 1;
    return /\.json$/i.test(bundle.name) ? 0.3 : 0;
  },

  *read(bundle: Bundle, wishes: ReadingWishes): Generator<readonly [number, number], Outcome<ReadFile>, void> {
    const source = bundle.parts[0]!;
    const bytes = yield* readWhole(source);
    const layer = readGeojson(bytes, bundle.name, wishes);
    if (!layer.ok) return layer;
    const { candidates, crs } = layer.value;
    const outcome = yield* assembleBoundaries({
      importer: 'geojson',
      file: bundle.name,
      candidates,
      rows: candidates.length,
      bytes: bytes.length,
      crs,
      wishes,
    });
    return { ...outcome, problems: [...layer.problems, ...outcome.problems] };
  },
};

/** The features of one GeoJSON text, in degrees. */
export function readGeojson(bytes: Uint8Array, file: string, wishes: ReadingWishes): Outcome<InDegrees> {
  const where = { file };
  if (bytes.length === 0) return refused(problem('error', 'file-empty', 'The file is empty (0 bytes).', { where }));
  const problems: Problem[] = [];
  const text = decodeText(bytes, file, problems);
  let root: unknown;
  try {
    root = JSON.parse(text);
  } catch {
    return refused(...problems, breakProblem(text, file));
  }
  if (!isObject(root) || typeof root['type'] !== 'string') {
    return refused(
      problem('error', 'not-geojson', 'The file is JSON, but not GeoJSON: it has no “type”.', {
        where,
        hint: 'Export the boundaries as GeoJSON or as a shapefile.',
      }),
    );
  }
  const features = featuresOf(root);
  if (features === null) {
    const found = `The file is JSON of type “${root['type']}”, which is not a type of GeoJSON`;
    return refused(problem('error', 'not-geojson', `${found}, or lacks its list of features.`, { where }));
  }
  const clue = clueOf(root);
  if (clue === 'unreadable') {
    return refused(
      problem('error', 'coordinate-system-not-read', 'The crs member of the file is of a kind that is not read.', {
        where,
        hint: 'Say which coordinate system it is, for example EPSG:26915 (--crs EPSG:26915).',
      }),
    );
  }
  if (clue.kind === 'epsg') {
    problems.push(
      problem(
        'warning',
        'crs-member',
        `The file carries a crs member (EPSG:${clue.code}), which GeoJSON gave up in 2016; it is read and used.`,
        { where },
      ),
    );
  }
  let nested = 0;
  const candidates = features.map((feature, index) => {
    const { candidate, dropped } = candidateOf(feature, index + 1, file, problems);
    nested += dropped;
    return candidate;
  });
  if (nested > 0) {
    problems.push(
      problem('note', 'property-nested', `${nested} attributes are lists or objects and are left out.`, { where }),
    );
  }
  const placed = toDegrees(candidates, clue, wishes.crs, file);
  return { ...placed, problems: [...problems, ...placed.problems] };
}

function decodeText(bytes: Uint8Array, file: string, problems: Problem[]): string {
  const wide =
    bytes[0] === 0xff && bytes[1] === 0xfe ? 'utf-16le' : bytes[0] === 0xfe && bytes[1] === 0xff ? 'utf-16be' : null;
  if (wide !== null) return new TextDecoder(wide).decode(bytes);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    problems.push(
      problem('warning', 'encoding-guessed', 'The file is not UTF-8, as GeoJSON asks; it is read as Windows-1252.', {
        where: { file },
        hint: 'Check names with accents.',
      }),
    );
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

function breakProblem(text: string, file: string): Problem {
  const broken = findJsonBreak(text);
  const where = { file };
  if (broken === null) return problem('error', 'json-invalid', 'The file is not readable as JSON.', { where });
  const place = `line ${broken.line}, column ${broken.column}`;
  const whole = `${broken.wholeItems} whole feature${broken.wholeItems === 1 ? '' : 's'} before it`;
  if (broken.found === '') {
    return problem(
      'error',
      'json-invalid',
      `The file ends in the middle (${place}), with ${whole}: it was cut short.`,
      {
        where: { ...where, row: broken.line },
        hint: 'Copy or export it again.',
      },
    );
  }
  return problem('error', 'json-invalid', `“${broken.found}” at ${place} is not JSON; ${whole}.`, {
    where: { ...where, row: broken.line },
    hint: /^(NaN|-?Infinity)/i.test(broken.found)
      ? 'A number is missing there: the program that wrote the file should write null, or leave the feature out.'
      : 'Export the file again.',
  });
}

type Plain = Record<string, unknown>;

function isObject(value: unknown): value is Plain {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

const GEOMETRIES = new Set([
  'Point',
  'MultiPoint',
  'LineString',
  'MultiLineString',
  'Polygon',
  'MultiPolygon',
  'GeometryCollection',
]);

/** Features, or a bare geometry as the one feature; null where the root is neither. */
function featuresOf(root: Plain): unknown[] | null {
  if (root['type'] === 'FeatureCollection') return Array.isArray(root['features']) ? root['features'] : null;
  if (root['type'] === 'Feature') return [root];
  return GEOMETRIES.has(root['type'] as string) ? [{ type: 'Feature', properties: {}, geometry: root }] : null;
}

function clueOf(root: Plain): SystemClue | 'unreadable' {
  const degrees: SystemClue = { kind: 'degrees', from: 'as GeoJSON is by RFC 7946' };
  const crs = root['crs'];
  if (crs === undefined || crs === null) return degrees;
  const name = isObject(crs) && isObject(crs['properties']) ? crs['properties']['name'] : undefined;
  if (typeof name !== 'string') return 'unreadable';
  if (/CRS:?84$/i.test(name)) return { kind: 'degrees', from: 'crs member CRS84' };
  const code = /EPSG:(?:[\d.]*:)?(\d+)$/i.exec(name);
  if (!code) return 'unreadable';
  if (code[1] === '4326') return { kind: 'degrees', from: 'crs member EPSG:4326' };
  return { kind: 'epsg', code: Number(code[1]), from: 'the crs member' };
}

function candidateOf(
  feature: unknown,
  number: number,
  file: string,
  problems: Problem[],
): { candidate: Candidate; dropped: number } {
  if (!isObject(feature) || feature['type'] !== 'Feature') {
    const odd = { code: 'feature-damaged', what: 'is not a GeoJSON feature and is left out' };
    return { candidate: { file, feature: number, polygons: [], properties: {}, refused: odd }, dropped: 0 };
  }
  const { properties, dropped } = propertiesOf(feature);
  const base = { file, feature: number, properties, rightHanded: true };
  const shape = shapeOf(feature['geometry'] ?? null);
  if (typeof shape === 'string') {
    const code = shape.startsWith('holds') ? 'geometry-other' : 'geometry-damaged';
    return { candidate: { ...base, polygons: [], refused: { code, what: shape } }, dropped };
  }
  if (shape.leftOut.length > 0) {
    const what = `Feature ${number} mixes geometries: its polygon is kept, its ${shape.leftOut.join(' and ')} left out.`;
    problems.push(problem('warning', 'geometry-mixed', what, { where: { file, feature: number } }));
  }
  return {
    candidate: { ...base, polygons: shape.polygons, ...(shape.closedLine ? { closedLine: true } : {}) },
    dropped,
  };
}

function propertiesOf(feature: Plain): { properties: Record<string, Scalar>; dropped: number } {
  const properties: Record<string, Scalar> = {};
  let dropped = 0;
  const given = isObject(feature['properties']) ? feature['properties'] : {};
  for (const [key, value] of Object.entries(given)) {
    if (value === null || typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean') {
      Object.defineProperty(properties, key, { value, enumerable: true, writable: true, configurable: true });
    } else dropped++;
  }
  const id = feature['id'];
  if ((typeof id === 'string' || typeof id === 'number') && !Object.hasOwn(properties, 'id')) properties['id'] = id;
  return { properties, dropped };
}

interface Shape {
  readonly polygons: LonLat[][][];
  readonly closedLine: boolean;
  /** Kinds beside the polygons: “point”, “line”. */
  readonly leftOut: string[];
}

/** The polygons of a geometry; a text says why there are none to read. */
function shapeOf(geometry: unknown): Shape | string {
  if (geometry === null) return { polygons: [], closedLine: false, leftOut: [] };
  if (!isObject(geometry)) return 'has a geometry that is not readable and is left out';
  const coordinates = geometry['coordinates'];
  const unreadable = 'has coordinates that are not lists of numbers and is left out';
  switch (geometry['type']) {
    case 'Polygon': {
      if (Array.isArray(coordinates) && coordinates.length === 0)
        return { polygons: [], closedLine: false, leftOut: [] };
      const rings = ringsOf(coordinates);
      return rings === null ? unreadable : { polygons: [rings], closedLine: false, leftOut: [] };
    }
    case 'MultiPolygon': {
      if (!Array.isArray(coordinates)) return unreadable;
      const polygons = coordinates.filter((one) => !(Array.isArray(one) && one.length === 0)).map(ringsOf);
      if (polygons.some((rings) => rings === null)) return unreadable;
      return { polygons: polygons as LonLat[][][], closedLine: false, leftOut: [] };
    }
    case 'LineString': {
      const ring = ringOf(coordinates);
      if (ring === null) return unreadable;
      const [first, last] = [ring[0], ring.at(-1)];
      const closed = ring.length >= 4 && first![0] === last![0] && first![1] === last![1];
      return closed
        ? { polygons: [[ring]], closedLine: true, leftOut: [] }
        : 'holds an open line, not a polygon, and is left out';
    }
    case 'GeometryCollection': {
      if (!Array.isArray(geometry['geometries'])) return unreadable;
      const polygons: LonLat[][][] = [];
      const leftOut: string[] = [];
      for (const part of geometry['geometries'] as unknown[]) {
        const isPolygon = isObject(part) && (part['type'] === 'Polygon' || part['type'] === 'MultiPolygon');
        const shape = isPolygon ? shapeOf(part) : null;
        if (typeof shape === 'string') return shape;
        if (shape !== null) polygons.push(...shape.polygons);
        else leftOut.push(isObject(part) ? kindWord(part['type']) : 'unreadable part');
      }
      if (polygons.length === 0 && leftOut.length > 0)
        return `holds ${leftOut.join(' and ')} but no polygon, and is left out`;
      return { polygons, closedLine: false, leftOut };
    }
    default:
      return GEOMETRIES.has(String(geometry['type']))
        ? `holds a ${kindWord(geometry['type'])}, not a polygon, and is left out`
        : `has a geometry of ${typeof geometry['type'] === 'string' ? `the unknown type “${geometry['type']}”` : 'no type'} and is left out`;
  }
}

function kindWord(type: unknown): string {
  const words: Record<string, string> = {
    Point: 'point',
    MultiPoint: 'set of points',
    LineString: 'line',
    MultiLineString: 'set of lines',
    GeometryCollection: 'collection inside a collection',
  };
  return words[String(type)] ?? 'shape of an unknown type';
}

function ringsOf(coordinates: unknown): LonLat[][] | null {
  if (!Array.isArray(coordinates)) return null;
  const rings = coordinates.map(ringOf);
  return rings.some((ring) => ring === null) ? null : (rings as LonLat[][]);
}

/** Positions with their heights dropped. A number too large for a double arrives as Infinity and is judged with the others. */
function ringOf(coordinates: unknown): LonLat[] | null {
  if (!Array.isArray(coordinates)) return null;
  const ring: LonLat[] = [];
  for (const position of coordinates) {
    if (!Array.isArray(position) || typeof position[0] !== 'number' || typeof position[1] !== 'number') return null;
    ring.push([position[0], position[1]]);
  }
  return ring;
}
