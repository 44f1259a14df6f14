import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import shp from 'shpjs';
import { afterAll, describe, expect, it } from 'vitest';
import { geodesicAreaM2 } from '../../../shared/geometry/geodesic.ts';
import type { MultiPolygon } from '../../../shared/geometry/types.ts';
import { geojsonImporter } from '../../../shared/import/geojson.ts';
import type { Bundle, Importer, ReadFile, ReadingWishes } from '../../../shared/import/importer.ts';
import { shapefileImporter } from '../../../shared/import/shapefile.ts';
import { unreadFormat } from '../../../shared/import/unread-formats.ts';
import type { Outcome, Problem } from '../../../shared/model/problem.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { boundariesIn, bundleFromDisk, readAll } from '../../support/bundle.ts';
import { closeTo } from '../../support/close-to.ts';
import cases from './cases.json' with { type: 'json' };

interface Expected {
  kind: 'ok' | 'warning' | 'partial' | 'error';
  code?: string;
  must?: string;
  fields?: { id: string | null; areaM2: number; parts: number; holes: number }[];
  crs?: string;
  toleranceM2?: number;
}
interface Case {
  id: string;
  file: string;
  expected: Expected;
}

const here = (file: string) => fileURLToPath(new URL(file, import.meta.url));
const all = cases.cases as unknown as Case[];
const truth = cases.fields as unknown as { id: string; name: string; crop: string; geometry: MultiPolygon }[];
const isRead = ({ file }: Case) => /\.(geojson|shp|zip)$/.test(file);
const nameOf = new Map(truth.map((field) => [field.id, field.name]));

/** A file with the parts that lie beside it. */
function bundleOfCase(file: string): Bundle {
  if (!file.endsWith('.shp')) return bundleFromDisk(here(file));
  const [folder, name] = file.split('/') as [string, string];
  const parts = readdirSync(here(folder)).filter((one) => one !== name && one.startsWith(name.replace(/shp$/, '')));
  return bundleFromDisk(here(file), ...parts.map((one) => here(`${folder}/${one}`)));
}

const importerOf = ({ file }: Case): Importer => (file.endsWith('.geojson') ? geojsonImporter : shapefileImporter);
const readCase = (one: Case, wishes: ReadingWishes = {}) => readAll(importerOf(one), bundleOfCase(one.file), wishes);

/** The shape as the outcome has it: the four kinds of the cases. */
function kindOf(outcome: Outcome<ReadFile>, code: string): 'ok' | 'warning' | 'partial' | 'error' {
  if (!outcome.ok) return 'error';
  const told = outcome.problems.find((one) => one.code === code);
  if (told === undefined || told.level === 'note') return 'ok';
  return outcome.value.reading.unusedRows > 0 ? 'partial' : 'warning';
}

describe('good files', () => {
  let largestError = 0;
  afterAll(() => recordAgreement('file-interop', 'area of imported boundaries', largestError, 0.05, 'm²'));

  const good = all.filter((one) => one.expected.fields !== undefined && isRead(one));
  it('are eleven in the formats that are read', () => expect(good.length).toBe(11));

  it.each(good)('$id gives the areas, parts and holes of the maker', (one) => {
    const outcome = readCase(one);
    const { features } = boundariesIn(outcome);
    const expected = one.expected.fields!;
    expect(features.length).toBe(expected.length);
    expect(outcome.problems.filter((problem) => problem.level === 'error')).toEqual([]);
    expected.forEach((field, i) => {
      const feature = features[i]!;
      const within = one.expected.toleranceM2!;
      closeTo(feature.areaM2, field.areaM2, { within, because: 'rounding of the stored coordinates, by the case' });
      if (within <= 0.05) largestError = Math.max(largestError, Math.abs(feature.areaM2 - field.areaM2));
      expect(feature.polygon.length).toBe(field.parts);
      expect(feature.polygon.reduce((sum, rings) => sum + rings.length - 1, 0)).toBe(field.holes);
      if (field.id === null) return;
      expect(feature.properties['id']).toBe(field.id);
      const name =
        one.id === 'shapefile-latin1' && field.id === 'F4' ? 'Señor Núñez - östlich E' : nameOf.get(field.id)!;
      expect(feature.name).toBe(name);
      expect(feature.properties['name']).toBe(name);
      expect(feature.properties['crop'] ?? '').toBe(truth.find((f) => f.id === field.id)!.crop);
    });
  });

  it.each(good.filter((one) => one.expected.fields!.length === 6))(
    '$id keeps numbers as numbers and missing ones as missing',
    (one) => {
      const { features } = boundariesIn(readCase(one));
      expect(features.map((feature) => feature.properties['pop'] ?? null)).toEqual([
        140000.5,
        32000,
        null,
        0,
        -1.25,
        1e7,
      ]);
      expect(features.map((feature) => feature.properties['year'] ?? null)).toEqual([
        2025,
        2025,
        2024,
        2025,
        null,
        2025,
      ]);
    },
  );

  it.each(good)('$id gives closed rings by the right-hand rule', (one) => {
    for (const { polygon } of boundariesIn(readCase(one)).features) {
      for (const rings of polygon) {
        rings.forEach((ring, r) => {
          expect(ring[0]).toEqual(ring.at(-1));
          expect(turn(ring) > 0).toBe(r === 0);
        });
      }
    }
  });

  it('names the coordinate system and where it is known from', () => {
    const crsOf = (id: string) => boundariesIn(readCase(all.find((one) => one.id === id)!)).crs;
    expect(crsOf('shapefile-wgs84')).toMatch(/EPSG:4326.*\.prj/);
    expect(crsOf('shapefile-utm')).toMatch(/EPSG:32615.*\.prj/);
    expect(crsOf('shapefile-state-plane-feet')).toMatch(/Iowa_North.*US survey feet.*\.prj/);
    expect(crsOf('geojson-crs-member')).toMatch(/EPSG:32615.*crs member/);
    expect(crsOf('geojson-rfc7946')).toMatch(/WGS 84.*RFC 7946/);
  });

  it('says that a crs member was read, that rings were wound the other way, and that NAD 83 is taken as WGS 84', () => {
    const told = (id: string) => readCase(all.find((one) => one.id === id)!).problems;
    expect(told('geojson-crs-member')).toContainEqual(
      expect.objectContaining({ code: 'crs-member', level: 'warning' }),
    );
    expect(told('geojson-winding-reversed')).toContainEqual(
      expect.objectContaining({ code: 'winding', level: 'note' }),
    );
    expect(
      told('shapefile-state-plane-feet')
        .map((one) => one.text)
        .join(),
    ).toMatch(/NAD 83.*2 m/);
    expect(told('geojson-rfc7946')).toEqual([]);
  });

  it.each(['wgs84', 'utm15n', 'iowa-north-ftus'])(
    '%s.shp gives the corners that shpjs gives, within 0.1 mm',
    async (base) => {
      const file = (ending: string) => new Uint8Array(readFileSync(here(`good/${base}.${ending}`)));
      const theirs = await shp({ shp: file('shp'), dbf: file('dbf'), prj: file('prj'), cpg: file('cpg') });
      const ours = boundariesIn(readCase(all.find((one) => one.file === `good/${base}.shp`)!)).features;
      theirs.features.forEach(({ geometry }, i) => {
        const { type, coordinates } = geometry as GeoJSON.Polygon | GeoJSON.MultiPolygon;
        const polygon = (type === 'Polygon' ? [coordinates] : coordinates) as unknown as MultiPolygon;
        expect(cornersOf(ours[i]!.polygon).length).toBe(cornersOf(polygon).length);
        for (const [lon, lat] of cornersOf(polygon)) {
          const nearest = Math.min(
            ...cornersOf(ours[i]!.polygon).map((corner) => Math.hypot(corner[0] - lon, corner[1] - lat)),
          );
          expect(nearest).toBeLessThan(1e-9);
        }
      });
    },
  );
});

/** What the message has to say, beside its code: from `must` of each case. */
const SAYS: Record<string, { text: RegExp[]; usable: string[] | null; hint?: RegExp; encoding?: boolean }> = {
  'shp-truncated': { text: [/ends early/, /3 of 6/, /3 are lost/], usable: ['F1', 'F2', 'F3'] },
  'shp-header-only': { text: [/no shapes/, /says 2468 bytes/], usable: null },
  'dbf-missing': { text: [/without names and attributes/], hint: /no-dbf\.dbf/, usable: ['', '', '', '', '', ''] },
  'prj-missing-degrees': { text: [/fit degrees/, /WGS 84/], hint: /Look at the map/, usable: allIds() },
  'prj-missing-metres': {
    text: [/448.?678/, /4.653.404/, /cannot be degrees/],
    hint: /EPSG:32615 at longitude -93\.62/,
    usable: null,
  },
  'shx-missing': { text: [/not needed/], usable: allIds() },
  'shx-wrong': { text: [/outside of the file/, /in the order/], usable: allIds() },
  'shp-zero-length': { text: [/empty file/], usable: null },
  'shp-magic': { text: [/1234/, /9994/], usable: null },
  'shp-length-too-long': { text: [/1999998/, /2468/, /all 6/], usable: allIds() },
  'dbf-fewer-records': { text: [/6 shapes/, /4 attribute rows/, /5 to 6/], usable: ['F1', 'F2', 'F3', 'F4', '', ''] },
  'dbf-deleted-row': { text: [/Pond field/, /row 2/, /deleted/], usable: ['F1', 'F3', 'F4', 'F5', 'F6'] },
  'shp-part-count': { text: [/Home quarter.*feature 1/, /1000000 parts/, /128 bytes/], usable: without('F1') },
  'shp-mixed-type': { text: [/feature 1/, /lines/, /polygons/], usable: without('F1') },
  'shp-nan': { text: [/feature 1/, /not a number/], usable: without('F1') },
  'shp-huge': { text: [/feature 1/, /1e\+300/], usable: without('F1') },
  'shp-null-shape': { text: [/Pond field.*feature 2/, /no shape/], usable: without('F2') },
  'dbf-names-cut': { text: [/boundary_n/, /plant_popu/, /ten/], usable: allIds() },
  'dbf-name-11': { text: [/identifier1/], usable: allIds() },
  'dbf-codepage-wrong': { text: [/windows-1252/i, /UTF-8/], usable: allIds() },
  'dbf-overflow-stars': { text: [/pop/, /\*\*\*/, /missing, not as zero/], usable: allIds() },
  'shp-holes-wound-wrong': { text: [/wound the wrong way/, /inside which/], usable: allIds() },
  'geojson-not-closed': { text: [/Home quarter/, /not closed/, /closed now/], usable: allIds() },
  'geojson-lat-lon-swapped': { text: [/-93\.62/, /swapped/], hint: /latitude first/, usable: null },
  'geojson-huge': { text: [/Home quarter/, /nowhere on Earth/], usable: without('F1') },
  'geojson-nan': { text: [/NaN/, /line 5, column \d+/], usable: null },
  'geojson-cut': { text: [/ends in the middle/, /line 8, column \d+/, /3 whole features/], usable: null },
  'geojson-no-features': { text: [/no fields/], usable: [] },
  'geojson-null-geometry': { text: [/Home quarter/, /no shape/], usable: without('F1') },
  'geojson-empty-polygon': { text: [/Home quarter/, /no shape/], usable: without('F1') },
  'geojson-bowtie': {
    text: [/Home quarter/, /42\.03280., -93\.61758./, /2 parts/, /0\.000 ha/, /8\.000 ha/],
    usable: allIds(),
  },
  'geojson-duplicate': {
    text: [/feature 7.*same shape.*feature 1/, /both are kept/],
    hint: /Leave one/,
    usable: [...allIds(), 'F1'],
  },
  'geojson-collection': { text: [/polygon is kept/, /point left out/], usable: ['F1'] },
  'geojson-closed-line': { text: [/closed line/, /offered/], usable: ['F1'] },
  'geojson-doubled-points': { text: [/5 of 10 corners/, /dropped/], usable: ['F1', 'F2'] },
  'zip-cut': { text: [/directory.*missing/, /cut short/], usable: null },
  'zip-path-escape': { text: [/\.\.\/\.\.\/evil\.shp/], hint: /\.\./, usable: null },
  'zip-bomb': { text: [/64 KiB/, /64\.0 MiB/, /200 times/], usable: null },
  'zip-two-layers': {
    text: [/2 layers/, /wgs84\.shp, utm15n\.shp/, /all are taken/],
    usable: [...allIds(), ...allIds()],
  },
};

function allIds(): string[] {
  return truth.map((field) => field.id);
}
function without(id: string): string[] {
  return allIds().filter((one) => one !== id);
}

describe('broken files', () => {
  const broken = all.filter((one) => one.file.startsWith('broken/') && isRead(one));

  it('are each held to what the case says they must say', () => {
    expect(broken.map((one) => one.id).sort()).toEqual(Object.keys(SAYS).sort());
  });

  it.each(broken)('$id: $expected.must', (one) => {
    const { kind, code } = one.expected;
    const { text, hint, usable } = SAYS[one.id]!;
    const outcome = readCase(one);
    const told = outcome.problems.filter((problem) => problem.code === code);
    expect(told.length, `${code} among ${outcome.problems.map((p) => p.code).join()}`).toBeGreaterThan(0);
    const said = told.map((problem) => problem.text).join('\n');
    for (const words of text) expect(said).toMatch(words);
    if (hint) expect(told.map((problem) => problem.hint).join()).toMatch(hint);
    for (const problem of told) expect(problem.where?.file).toBeDefined();

    // The zip of two layers is "ok" with a question; a row without shape is told as a warning, not as partial.
    const is = kindOf(outcome, code!);
    const accepted = { ok: ['ok', 'warning'], warning: ['warning', 'partial'], partial: ['partial'], error: ['error'] };
    expect(accepted[kind]).toContain(is);
    if (kind === 'error') expect(told.some((problem) => problem.level === 'error')).toBe(true);

    if (usable === null) return expect(outcome.ok).toBe(false);
    const { features } = boundariesIn(outcome);
    expect(features.map((feature) => feature.properties['id'] ?? feature.properties['identifier1'] ?? '')).toEqual(
      usable,
    );
    for (const feature of features) {
      const field = cases.fields.find((f) => f.id === (feature.properties['id'] ?? feature.properties['identifier1']));
      if (field === undefined || (one.id === 'geojson-bowtie' && field.id === 'F1')) continue;
      closeTo(feature.areaM2, field.areaM2, { within: 0.02, because: 'what is usable is whole: areas as undamaged' });
    }
  });

  it('keep the areas of the shapes whose names are missing', () => {
    for (const id of ['dbf-missing', 'dbf-fewer-records']) {
      const { features } = boundariesIn(readCase(all.find((one) => one.id === id)!));
      features.forEach((feature, i) =>
        closeTo(feature.areaM2, cases.fields[i]!.areaM2, { within: 0.02, because: 'rounding to 8 decimals' }),
      );
      expect(features.at(-1)!.name).toBe('Field 6');
    }
  });

  it('read right where letters are named wrong: name of F4', () => {
    const one = all.find(({ id }) => id === 'dbf-codepage-wrong')!;
    expect(boundariesIn(readCase(one)).features[3]!.name).toBe('Señor Núñez – östlich 東');
  });

  it('give a starred number as missing and leave the others', () => {
    const one = all.find(({ id }) => id === 'dbf-overflow-stars')!;
    const pops = boundariesIn(readCase(one)).features.map((feature) => feature.properties['pop']);
    expect(pops).toEqual([null, 32000, null, 0, -1.25, 1e7]);
  });

  it('mend the bow tie to its two triangles, half the square', () => {
    const one = all.find(({ id }) => id === 'geojson-bowtie')!;
    const [field] = boundariesIn(readCase(one)).features;
    expect(field!.polygon.length).toBe(2);
    closeTo(field!.areaM2, 80000, { within: 0.1, because: '0.1 mm grid × perimeter of 1.9 km' });
  });

  it('tell that the fields of two layers coincide', () => {
    const one = all.find(({ id }) => id === 'zip-two-layers')!;
    expect(readCase(one).problems.filter((problem) => problem.code === 'field-twice').length).toBe(6);
  });

  it('can be read as soon as the person says what the file does not', () => {
    const swapped = readCase(
      all.find(({ id }) => id === 'geojson-lat-lon-swapped')!,
      { crs: 'WGS 84, latitude first' },
    );
    const metres = readCase(
      all.find(({ id }) => id === 'prj-missing-metres')!,
      { crs: 'EPSG:32615' },
    );
    for (const outcome of [swapped, metres]) {
      boundariesIn(outcome).features.forEach((feature, i) =>
        closeTo(feature.areaM2, cases.fields[i]!.areaM2, { within: 0.02, because: 'rounding of the coordinates' }),
      );
    }
  });
});

describe('formats that are not read yet', () => {
  const unread = all.filter((one) => !isRead(one));
  it('are ten of the cases', () => expect(unread.map((one) => one.id).length).toBe(10));

  it.each(unread)('$id is told by its name, not guessed at', (one) => {
    const bundle = bundleOfCase(one.file);
    const head = new Uint8Array(readFileSync(here(one.file))).subarray(0, 4096);
    const told = unreadFormat(bundle, head) as Problem;
    expect(told).toMatchObject({ code: 'format-not-read', level: 'error', where: { file: bundle.name } });
    expect(told.text).toMatch(/KML|KMZ|GeoPackage|FlatGeobuf/);
    expect(told.hint).toMatch(/GeoJSON/);
    expect([geojsonImporter, shapefileImporter].map((importer) => importer.recognize(bundle, head))).toEqual([0, 0]);
  });
});

function cornersOf(polygon: MultiPolygon) {
  return polygon.flat(2);
}

function turn(ring: readonly (readonly [number, number])[]): number {
  return ring
    .slice(1)
    .reduce(
      (sum, [x, y], i) =>
        sum + (ring[i]![0] - ring[0]![0]) * (y - ring[0]![1]) - (x - ring[0]![0]) * (ring[i]![1] - ring[0]![1]),
      0,
    );
}

it('the truth of the cases has the areas that our geodesic gives', () => {
  for (const field of cases.fields) {
    const areaM2 = geodesicAreaM2(field.geometry as unknown as MultiPolygon);
    closeTo(areaM2, field.areaM2, { within: 2e-4, because: 'the judge prints 1e-4 m²' });
  }
});
