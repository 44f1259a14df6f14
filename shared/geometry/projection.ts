/**
 * From the coordinates of a file to longitude and latitude on WGS 84, by the file's own description (.prj, WKT) or an EPSG code.
 *
 * The library takes nonsense quietly and has no datum grids. So a description must name an ellipsoid and a datum that can
 * be tied to WGS 84 (else it is refused, or the note says what is assumed), the formulas must come back to where they
 * started, and a place outside the globe is NaN.
 * @source tests/reference/projection (PROJ); methods-spatial §1, §15
 */
import proj4 from 'proj4';

export interface Projection {
  readonly ok: true;
  /** File coordinates to degrees on WGS 84, longitude in [−180, 180]; NaN, NaN where they stand for no place on the globe. */
  toLonLat(x: number, y: number): [lon: number, lat: number];
  /** The way back, in the file's unit. */
  fromLonLat(lon: number, lat: number): [x: number, y: number];
  /** Name and unit in words. */
  readonly describe: string;
  /** What was assumed, one sentence each. */
  readonly notes: readonly string[];
}

export type ProjectionResult = Projection | { readonly ok: false; readonly why: string };

const NULL_STEP = 'NAD 83 is taken as WGS 84 without a shift: places may be off by up to 2 m.';
const LIKE_WGS84 = (name: string) => `${name} is taken as WGS 84 without a shift: places may be off by up to 2 m.`;

/** Datums by their names, joined and in lower case; the order matters. */
const DATUMS: readonly { readonly name: RegExp; readonly note: string | null }[] = [
  { name: /wgs_?(19)?84|worldgeodeticsystem/, note: null },
  { name: /northamerican(datum)?(of)?1983|nad_?83|nationalspatialreferencesystem|nsrs2007|csrs/, note: NULL_STEP },
  { name: /etrs|europeanterrestrialreference/, note: LIKE_WGS84('ETRS 89') },
  { name: /gda_?(19)?94|geocentricdatumofaustralia|gda_?2020/, note: LIKE_WGS84('The Australian datum') },
  { name: /sirgas|geocentricoparalasamericas/, note: LIKE_WGS84('SIRGAS') },
  { name: /nzgd2000|newzealand(geodeticdatum)?2000/, note: LIKE_WGS84('The New Zealand datum') },
];

/** Systems by EPSG code: name, and the library's own notation. */
const EPSG: Readonly<Record<number, readonly [name: string, definition: string]>> = {
  4326: ['WGS 84, degrees', '+proj=longlat +ellps=WGS84'],
  4269: ['NAD 83, degrees', '+proj=longlat +ellps=GRS80'],
  4152: ['NAD 83 (HARN), degrees', '+proj=longlat +ellps=GRS80'],
  6318: ['NAD 83 (2011), degrees', '+proj=longlat +ellps=GRS80'],
  3857: ['WGS 84 web Mercator', '+proj=merc +a=6378137 +b=6378137 +lat_ts=0 +lon_0=0 +x_0=0 +y_0=0 +k=1'],
  5070: ['NAD 83 Conus Albers', '+proj=aea +lat_0=23 +lon_0=-96 +lat_1=29.5 +lat_2=45.5 +x_0=0 +y_0=0 +ellps=GRS80'],
  2163: [
    'US National Atlas equal area (sphere)',
    '+proj=laea +lat_0=45 +lon_0=-100 +x_0=0 +y_0=0 +a=6370997 +b=6370997',
  ],
  3417: [
    'NAD 83 Iowa North, US survey feet',
    '+proj=lcc +lat_0=41.5 +lon_0=-93.5 +lat_1=43.26666666666667 +lat_2=42.06666666666667 +x_0=1500000 +y_0=999999.9999898402 +ellps=GRS80 +units=us-ft',
  ],
  3435: [
    'NAD 83 Illinois East, US survey feet',
    '+proj=tmerc +lat_0=36.66666666666666 +lon_0=-88.33333333333333 +k=0.999975 +x_0=300000 +y_0=0 +ellps=GRS80 +units=us-ft',
  ],
  // Shift "Amersfoort to WGS 84 (4)", from memory; held by tests/reference/projection.
  28992: [
    'Amersfoort RD New',
    '+proj=sterea +lat_0=52.1561605555556 +lon_0=5.38763888888889 +k=0.9999079 +x_0=155000 +y_0=463000 +ellps=bessel +towgs84=565.4171,50.3319,465.5524,-0.398957388243134,0.343987817378283,-1.87740163998045,4.0725',
  ],
};

function epsgDefinition(code: number): readonly [name: string, definition: string] | null {
  const zone = code % 100;
  const family = (code - zone) / 100;
  if (family === 269 && zone >= 1 && zone <= 23) {
    return [`NAD 83 UTM zone ${zone} north`, `+proj=utm +zone=${zone} +ellps=GRS80`];
  }
  if ((family === 326 || family === 327) && zone >= 1 && zone <= 60) {
    const south = family === 327;
    return [
      `WGS 84 UTM zone ${zone} ${south ? 'south' : 'north'}`,
      `+proj=utm +zone=${zone}${south ? ' +south' : ''} +ellps=WGS84`,
    ];
  }
  return EPSG[code === 900913 ? 3857 : code] ?? null;
}

/**
 * A system by its EPSG code: 4326, 4269, 3857, 5070, UTM zones of NAD 83 and WGS 84, and the few that the reference cases
 * hold. Any other needs its description: there is no register of codes in here.
 */
export function projectionFromEpsg(code: number): ProjectionResult {
  if (code === 4267) return { ok: false, why: NO_GRID('NAD 27') };
  const known = epsgDefinition(code);
  if (known === null) {
    return { ok: false, why: `EPSG:${code} is not among the codes known here; the file's WKT (.prj) would be read.` };
  }
  const [name, definition] = known;
  const notes: string[] = [];
  if (definition.includes('GRS80')) notes.push(NULL_STEP);
  if (code === 2163) notes.push('The sphere is not tied to a datum: places are good to some hundreds of meters.');
  if (definition.includes('towgs84')) notes.push('The datum shift has seven parameters: places are good to about 1 m.');
  return checked(definition, `${name} (EPSG:${code})`, notes);
}

const NO_GRID = (name: string) =>
  `${name} lies 10–200 m from WGS 84 and needs a shift grid that is not in here; export the file as WGS 84.`;

/** A system in PROJ's own notation, such as `+proj=utm +zone=15 +ellps=WGS84`; no datum step unless it holds one. */
export function projectionFromProj(definition: string): ProjectionResult {
  if (!/^\s*\+proj=\w+/.test(definition)) {
    return { ok: false, why: `it holds no coordinate system: “${excerpt(definition.trim())}”.` };
  }
  if (/nadgrids=(?!@null)|datum=NAD27/i.test(definition)) return { ok: false, why: NO_GRID('Its datum') };
  return checked(definition, definition.trim(), []);
}

/** One bracketed node of WKT from where it starts, or null if a bracket is missing. */
function bracketed(text: string, start: number): string | null {
  let depth = 0;
  let quoted = false;
  for (let i = start; i < text.length; i++) {
    const letter = text[i];
    if (letter === '"') quoted = !quoted;
    if (quoted) continue;
    if (letter === '[' || letter === '(') depth++;
    if (letter === ']' || letter === ')') {
      depth--;
      if (depth === 0) return text.slice(start, i + 1);
    }
  }
  return null;
}

/**
 * A system by its description: WKT in the Esri and the OGC flavour (1 and 2), as in .prj files and GeoPackages.
 */
export function projectionFromWkt(wkt: string): ProjectionResult {
  const text = wkt.replace(/^\uFEFF/, '').trim();
  const head =
    /\b(PROJCS|GEOGCS|PROJCRS|PROJECTEDCRS|GEOGCRS|GEOGRAPHICCRS|GEODCRS|GEODETICCRS)\s*[[(]\s*"([^"]*)"/i.exec(text);
  if (head === null) return { ok: false, why: `it holds no coordinate system: “${excerpt(text)}”.` };
  const node = bracketed(text, head.index);
  if (node === null) return { ok: false, why: `its brackets do not close: “${excerpt(text)}”.` };
  const name = head[2]!;
  const datumName = /\b(?:DATUM|GEODETICDATUM|TRF|ENSEMBLE)\s*[[(]\s*"([^"]*)"/i.exec(node)?.[1];
  const spheroid = /\b(?:SPHEROID|ELLIPSOID)\s*[[(]\s*"[^"]*"\s*,\s*([-+.\deE]+)\s*,\s*([-+.\deE]+)/i.exec(node);
  if (datumName === undefined || spheroid === null) {
    return { ok: false, why: `“${name}” names no datum with an ellipsoid.` };
  }
  const radiusM = Number(spheroid[1]);
  const inverseFlattening = Number(spheroid[2]);
  if (!(radiusM > 6.3e6 && radiusM < 6.4e6) || !(inverseFlattening === 0 || inverseFlattening > 290)) {
    return { ok: false, why: `“${name}” has an ellipsoid that is not the Earth's: ${radiusM}, ${inverseFlattening}.` };
  }

  for (const [, unit, size] of node.matchAll(
    /\b(?:UNIT|LENGTHUNIT|ANGLEUNIT)\s*[[(]\s*"([^"]*)"\s*,\s*([-+.\deE]+)/gi,
  )) {
    if (!(Number(size) > 0)) return { ok: false, why: `“${name}” has a unit ${unit} of size ${size}.` };
  }

  const joined = datumName.toLowerCase().replace(/[^a-z0-9]/g, '');
  const known = DATUMS.find((datum) => datum.name.test(joined));
  const shift = /\bTOWGS84\s*[[(]([^\])]*)[\])]/i.exec(node)?.[1]?.split(',').map(Number);
  const shifted = shift?.some((value) => value !== 0) ?? false;
  const notes: string[] = [];
  if (known !== undefined && !shifted) {
    if (known.note !== null) notes.push(known.note);
  } else if (/northamerican(datumof)?1927|nad27/.test(joined)) {
    return { ok: false, why: NO_GRID('NAD 27') };
  } else if (shifted) {
    notes.push(`The file's own shift of ${datumName} to WGS 84 is used; its accuracy is not stated.`);
  } else if (Math.abs(radiusM - 6378137) < 1 && Math.abs(inverseFlattening - 298.2572) < 1e-3) {
    notes.push(`The datum ${datumName} is not known here and taken as WGS 84: places may be off by some meters.`);
  } else if (inverseFlattening === 0) {
    notes.push('The sphere is not tied to a datum: places are good to some hundreds of meters.');
  } else {
    return { ok: false, why: `the datum ${datumName} is not known here; export the file as WGS 84.` };
  }
  return checked(node, name, notes, !shifted);
}

function excerpt(text: string): string {
  return text.length > 60 ? `${text.slice(0, 60)}…` : text;
}

/** What is read of the library's own object. */
interface Parsed {
  projName?: string;
  to_meter?: number;
  units?: string;
  long0?: number;
  lat0?: number;
  datum?: { datum_type: number };
}

/** The library's mark for "no datum step". */
const NO_DATUM_STEP = 5;

/** The system, if its formulas come back to where they started at three places about its own origin. */
function checked(definition: string, name: string, notes: readonly string[], nullStep = false): ProjectionResult {
  let converter;
  let parsed: Parsed;
  try {
    const system = proj4.Proj(definition);
    parsed = system as unknown as Parsed;
    if (nullStep && parsed.datum !== undefined) parsed.datum.datum_type = NO_DATUM_STEP;
    converter = proj4(system);
  } catch {
    const method = /\b(?:PROJECTION|METHOD)\s*[[(]\s*"([^"]*)"/i.exec(definition)?.[1] ?? 'none named';
    return { ok: false, why: `“${name}” cannot be used: its projection (${method}) is not known here.` };
  }
  const forward = (lon: number, lat: number): [number, number] => {
    const [x = NaN, y = NaN] = converter.forward([lon, lat]);
    return [x, y];
  };
  // Some of the library's inverses are approximate (azimuthal equidistant 2 µm, seven-parameter shifts 0.6 mm): there the
  // error seen on the way there and back is taken off.
  let refined = false;
  const inverse = (x: number, y: number): [number, number] => {
    let [lon = NaN, lat = NaN] = converter.inverse([x, y]);
    if (refined) {
      const [lonBack = NaN, latBack = NaN] = converter.inverse(forward(lon, lat));
      lon += lon - lonBack;
      lat += lat - latBack;
    }
    if (!(Math.abs(lat) <= 90) || !(Math.abs(lon) <= 180 + 1e-9)) return [NaN, NaN];
    return [lon, lat];
  };
  const degree = 180 / Math.PI;
  const lon0 = (parsed.long0 ?? 0) * degree;
  const lat0 = Math.min(80, Math.max(-80, (parsed.lat0 ?? 0) * degree));
  for (const [dLon, dLat] of [
    [0.1, 0.1],
    [-1, 1],
    [1, -0.5],
  ] as const) {
    try {
      const [x, y] = forward(lon0 + dLon, lat0 + dLat);
      const [lon, lat] = inverse(x, y);
      const errorDeg = Math.hypot(((lon - lon0 - dLon + 540) % 360) - 180, lat - lat0 - dLat);
      if (errorDeg > 1e-12) refined = true;
      if (!(errorDeg < 1e-6)) {
        return { ok: false, why: `“${name}” does not come back to where it started: its numbers make no sense.` };
      }
    } catch {
      return { ok: false, why: `“${name}” gives no places: its numbers make no sense.` };
    }
  }
  return {
    ok: true,
    describe: `${name}${unitInWords(parsed)}`,
    notes,
    fromLonLat: forward,
    toLonLat(x, y) {
      if (!Number.isFinite(x) || !Number.isFinite(y)) return [NaN, NaN];
      try {
        return inverse(x, y);
      } catch {
        return [NaN, NaN];
      }
    },
  };
}

function unitInWords(parsed: Parsed): string {
  if (parsed.projName === 'longlat') return '';
  const metres = parsed.to_meter ?? 1;
  if (Math.abs(metres - 1200 / 3937) < 1e-12) return ', in US survey feet (1200/3937 m)';
  if (metres === 0.3048) return ', in international feet (0.3048 m)';
  return metres === 1 ? ', in meters' : `, in units of ${metres} m`;
}
