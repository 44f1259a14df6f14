import { readFileSync, readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import {
  projectionFromEpsg,
  projectionFromProj,
  projectionFromWkt,
  type Projection,
  type ProjectionResult,
} from '../../../shared/geometry/projection.ts';
import { closeTo } from '../../support/close-to.ts';

function opened(result: ProjectionResult): Projection {
  if (!result.ok) throw new Error(result.why);
  return result;
}
function refusal(result: ProjectionResult): string {
  if (result.ok) throw new Error(`${result.describe} was taken`);
  return result.why;
}

const GEOGCS_NAD83 =
  'GEOGCS["GCS_North_American_1983",DATUM["D_North_American_1983",SPHEROID["GRS_1980",6378137.0,298.257222101]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]';
const iowaNorth = (unit: string, easting: number, northing: number) =>
  `PROJCS["Iowa North",${GEOGCS_NAD83},PROJECTION["Lambert_Conformal_Conic"],PARAMETER["False_Easting",${easting}],PARAMETER["False_Northing",${northing}],PARAMETER["Central_Meridian",-93.5],PARAMETER["Standard_Parallel_1",43.2666666666667],PARAMETER["Standard_Parallel_2",42.0666666666667],PARAMETER["Latitude_Of_Origin",41.5],${unit}]`;

describe('refusals', () => {
  test.each([
    ['', 'holds no coordinate system'],
    ['hello', 'holds no coordinate system: “hello”'],
    ['LOCAL_CS["shed",UNIT["m",1]]', 'holds no coordinate system'],
    ['PROJCS["cut",GEOGCS["x",DATUM["WGS_1984"', 'brackets do not close'],
    ['GEOGCS["a"]', 'names no datum'],
    ['GEOGCS["a",DATUM["b",SPHEROID["c",1,2]]]', "not the Earth's"],
    [
      'GEOGCS["a",DATUM["Tokyo",SPHEROID["Bessel_1841",6377397.155,299.1528128]],UNIT["Degree",0.0174532925199433]]',
      'the datum Tokyo is not known',
    ],
    [`PROJCS["odd",${GEOGCS_NAD83},PROJECTION["Origami"],UNIT["Meter",1]]`, 'its projection (Origami) is not known'],
    [
      'PROJCS["old",GEOGCS["GCS_North_American_1927",DATUM["D_North_American_1927",SPHEROID["Clarke_1866",6378206.4,294.9786982]],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["Central_Meridian",-93],PARAMETER["Scale_Factor",0.9996],UNIT["Meter",1]]',
      'NAD 27 lies 10–200 m from WGS 84',
    ],
    [iowaNorth('UNIT["Meter",0]', 0, 0), 'a unit Meter of size 0'],
  ])('%.60s…: %s', (wkt, why) => {
    expect(refusal(projectionFromWkt(wkt))).toContain(why);
  });

  test('codes that are not known, and old datums by code or notation', () => {
    expect(refusal(projectionFromEpsg(99999))).toContain('EPSG:99999');
    expect(refusal(projectionFromEpsg(26924))).toContain('EPSG:26924');
    expect(refusal(projectionFromEpsg(4267))).toContain('NAD 27');
    expect(refusal(projectionFromProj('+proj=utm +zone=15 +datum=NAD27'))).toContain('shift grid');
    expect(refusal(projectionFromProj('utm 15'))).toContain('no coordinate system');
  });

  test('numbers that stand for no place give no place', () => {
    const utm = opened(projectionFromEpsg(32615));
    for (const [x, y] of [
      [NaN, 0],
      [Infinity, 0],
      [1e300, 1e300],
    ] as const) {
      expect(utm.toLonLat(x, y)).toEqual([NaN, NaN]);
    }
    expect(opened(projectionFromEpsg(4326)).toLonLat(448_677, 4_653_293)).toEqual([NaN, NaN]);
  });
});

describe('systems by code', () => {
  test('degrees stay as they are, NAD 83 with a note', () => {
    const wgs84 = opened(projectionFromEpsg(4326));
    expect(wgs84.toLonLat(-93.62, 42.03)).toEqual([-93.62, 42.03]);
    expect(wgs84.notes).toEqual([]);
    const nad83 = opened(projectionFromEpsg(4269));
    expect(nad83.toLonLat(-93.62, 42.03)).toEqual([-93.62, 42.03]);
    expect(nad83.notes).toEqual(['NAD 83 is taken as WGS 84 without a shift: places may be off by up to 2 m.']);
  });

  test('every UTM zone comes back to where it started', () => {
    const codes = [
      ...Array.from({ length: 23 }, (_, i) => 26901 + i),
      ...Array.from({ length: 60 }, (_, i) => 32601 + i),
      ...Array.from({ length: 60 }, (_, i) => 32701 + i),
    ];
    for (const code of codes) {
      const lon = 6 * (code % 100) - 183 + 1.7;
      const lat = code > 32700 ? -33.1 : 42.03;
      const utm = opened(projectionFromEpsg(code));
      const [x, y] = utm.fromLonLat(lon, lat);
      expect(x).toBeGreaterThan(500_000);
      const [lonBack, latBack] = utm.toLonLat(x, y);
      closeTo(Math.hypot(lonBack - lon, latBack - lat), 0, { within: 1e-11, because: 'a micrometre' });
    }
  });
});

describe('descriptions', () => {
  test('US survey feet and international feet differ by 3 m at a false easting of 1500 km, and are told apart', () => {
    const survey = opened(
      projectionFromWkt(iowaNorth('UNIT["Foot_US",0.3048006096012192]', 4921250, 3280833.333333333)),
    );
    const plain = opened(projectionFromWkt(iowaNorth('UNIT["Foot",0.3048]', 4921250, 3280833.333333333)));
    const metres = opened(projectionFromWkt(iowaNorth('UNIT["Meter",1.0]', 1500000, 1000000)));
    expect(survey.describe).toBe('Iowa North, in US survey feet (1200/3937 m)');
    expect(plain.describe).toBe('Iowa North, in international feet (0.3048 m)');
    expect(metres.describe).toBe('Iowa North, in meters');
    const [east, north] = metres.fromLonLat(-93.62, 42.03);
    const [lon, lat] = survey.toLonLat((east * 3937) / 1200, (north * 3937) / 1200);
    closeTo(Math.hypot(lon + 93.62, lat - 42.03), 0, { within: 1e-10, because: 'ten micrometres' });
    const wrong = plain.toLonLat(
      east / 0.3048 + 4921250 - 1500000 / 0.3048,
      north / 0.3048 + 3280833.333333333 - 1e6 / 0.3048,
    );
    closeTo(Math.hypot(wrong[0] + 93.62, wrong[1] - 42.03), 0, { within: 1e-10, because: 'the same meters in feet' });
    const mixedUp = plain.toLonLat((east * 3937) / 1200, (north * 3937) / 1200);
    expect(Math.hypot((mixedUp[0] + 93.62) * 83_000, (mixedUp[1] - 42.03) * 111_000)).toBeGreaterThan(0.02);
  });

  test('the OGC flavours, WKT 2, byte order marks and compound systems read alike', () => {
    const esri = opened(
      projectionFromWkt(
        `\uFEFF PROJCS["NAD_1983_UTM_Zone_15N",${GEOGCS_NAD83},PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",-93.0],PARAMETER["Scale_Factor",0.9996],PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]]`,
      ),
    );
    const ogc =
      'PROJCS["NAD83 / UTM zone 15N",GEOGCS["NAD83",DATUM["North_American_Datum_1983",SPHEROID["GRS 1980",6378137,298.257222101,AUTHORITY["EPSG","7019"]],AUTHORITY["EPSG","6269"]],PRIMEM["Greenwich",0,AUTHORITY["EPSG","8901"]],UNIT["degree",0.0174532925199433,AUTHORITY["EPSG","9122"]],AUTHORITY["EPSG","4269"]],PROJECTION["Transverse_Mercator"],PARAMETER["latitude_of_origin",0],PARAMETER["central_meridian",-93],PARAMETER["scale_factor",0.9996],PARAMETER["false_easting",500000],PARAMETER["false_northing",0],UNIT["metre",1,AUTHORITY["EPSG","9001"]],AXIS["Easting",EAST],AXIS["Northing",NORTH],AUTHORITY["EPSG","26915"]]';
    const wkt2 =
      'PROJCRS["NAD83 / UTM zone 15N",BASEGEOGCRS["NAD83",DATUM["North American Datum 1983",ELLIPSOID["GRS 1980",6378137,298.257222101,LENGTHUNIT["metre",1]]],PRIMEM["Greenwich",0,ANGLEUNIT["degree",0.0174532925199433]]],CONVERSION["UTM zone 15N",METHOD["Transverse Mercator",ID["EPSG",9807]],PARAMETER["Latitude of natural origin",0,ANGLEUNIT["degree",0.0174532925199433]],PARAMETER["Longitude of natural origin",-93,ANGLEUNIT["degree",0.0174532925199433]],PARAMETER["Scale factor at natural origin",0.9996,SCALEUNIT["unity",1]],PARAMETER["False easting",500000,LENGTHUNIT["metre",1]],PARAMETER["False northing",0,LENGTHUNIT["metre",1]]],CS[Cartesian,2],AXIS["(E)",east,ORDER[1],LENGTHUNIT["metre",1]],AXIS["(N)",north,ORDER[2],LENGTHUNIT["metre",1]],ID["EPSG",26915]]';
    const compound = `COMPD_CS["with heights",${ogc},VERT_CS["NAVD88 height",VERT_DATUM["North American Vertical Datum 1988",2005],UNIT["metre",1]]]`;
    for (const system of [esri, ...[ogc, wkt2, compound].map((wkt) => opened(projectionFromWkt(wkt)))]) {
      // The place of reference case utm-15n-grs80, by PROJ.
      const [lon, lat] = system.toLonLat(448677.09395356, 4653293.017557551);
      closeTo(Math.hypot(lon + 93.62, lat - 42.03) * 111_320, 0, { within: 1e-6, because: 'a micrometre' });
      expect(system.notes[0]).toContain('up to 2 m');
    }
  });

  test('axes named in latitude, longitude order do not swap what files hold in longitude, latitude order', () => {
    const wgs84 = opened(
      projectionFromWkt(
        'GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433],AXIS["Latitude",NORTH],AXIS["Longitude",EAST],AUTHORITY["EPSG","4326"]]',
      ),
    );
    expect(wgs84.toLonLat(-93.62, 42.03)).toEqual([-93.62, 42.03]);
    expect(wgs84.notes).toEqual([]);
  });

  test('an unknown datum on the ellipsoid of GPS is taken and told', () => {
    const odd = opened(
      projectionFromWkt(
        'GEOGCS["x",DATUM["Somewhere_2020",SPHEROID["GRS_1980",6378137,298.257222101]],UNIT["Degree",0.0174532925199433]]',
      ),
    );
    expect(odd.notes[0]).toContain('Somewhere_2020 is not known here');
  });

  test('a shift that the file brings is used and told', () => {
    const rd = opened(
      projectionFromWkt(
        'PROJCS["Amersfoort / RD New",GEOGCS["Amersfoort",DATUM["Amersfoort",SPHEROID["Bessel 1841",6377397.155,299.1528128],TOWGS84[565.4171,50.3319,465.5524,-0.398957,0.343988,-1.877402,4.0725]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]],PROJECTION["Oblique_Stereographic"],PARAMETER["latitude_of_origin",52.1561605555556],PARAMETER["central_meridian",5.38763888888889],PARAMETER["scale_factor",0.9999079],PARAMETER["false_easting",155000],PARAMETER["false_northing",463000],UNIT["metre",1]]',
      ),
    );
    // Reference case EPSG4326-EPSG28992, by PROJ, stated to 1 m.
    const [lon, lat] = rd.toLonLat(155029.794115103, 463109.954143607);
    closeTo(Math.hypot((lon - 5.38763888888889) * 68_000, (lat - 52.1561605555556) * 111_000), 0, {
      within: 0.01,
      because: 'the shift is written with six digits',
    });
    expect(rd.notes[0]).toContain('own shift of Amersfoort');
  });

  test('every description beside the reference files is read or refused with a reason', () => {
    const folder = fileURLToPath(new URL('../../reference/file-interop/', import.meta.url));
    let read = 0;
    for (const sub of ['good', 'broken']) {
      for (const name of readdirSync(folder + sub).filter((one) => one.endsWith('.prj'))) {
        const result = projectionFromWkt(readFileSync(`${folder}${sub}/${name}`, 'latin1'));
        if (result.ok) read++;
        else expect(result.why.length).toBeGreaterThan(20);
        if (sub === 'good') expect(result.ok, name).toBe(true);
      }
    }
    expect(read).toBeGreaterThan(5);
  });
});
