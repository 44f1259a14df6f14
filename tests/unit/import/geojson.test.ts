import { describe, expect, it } from 'vitest';
import { geojsonImporter } from '../../../shared/import/geojson.ts';
import type { ReadingWishes } from '../../../shared/import/importer.ts';
import { boundariesIn, bundleOf, readAll } from '../../support/bundle.ts';

const square = (lon: number, lat: number, size = 0.01) => [
  [
    [lon, lat],
    [lon + size, lat],
    [lon + size, lat + size],
    [lon, lat + size],
    [lon, lat],
  ],
];
const hole = (lon: number, lat: number, size: number) => square(lon, lat, size).map((ring) => ring.reverse());
const polygon = (lon: number, lat: number, size = 0.01) => ({ type: 'Polygon', coordinates: square(lon, lat, size) });
const feature = (geometry: unknown, properties: unknown = {}) => ({ type: 'Feature', properties, geometry });
const read = (content: unknown, wishes: ReadingWishes = {}) =>
  readAll(
    geojsonImporter,
    bundleOf('fields.geojson', typeof content === 'string' ? content : JSON.stringify(content)),
    wishes,
  );
const collection = (...features: unknown[]) => ({ type: 'FeatureCollection', features });
const codes = (content: unknown, wishes: ReadingWishes = {}) => read(content, wishes).problems.map((one) => one.code);

describe('refusals', () => {
  it.each([
    ['an empty file', '', 'file-empty'],
    ['words', 'not json', 'json-invalid'],
    ['a number', '17', 'not-geojson'],
    ['JSON of another kind', { type: 'Topology', objects: {} }, 'not-geojson'],
    ['a collection whose features are no list', { type: 'FeatureCollection', features: 3 }, 'not-geojson'],
    [
      'a crs member of a kind that is not read',
      { ...collection(), crs: { type: 'link', properties: {} } },
      'coordinate-system-not-read',
    ],
  ])('%s', (_, content, code) => {
    const outcome = read(content);
    expect(outcome.ok).toBe(false);
    expect(outcome.problems).toMatchObject([{ code, level: 'error', where: { file: 'fields.geojson' } }]);
  });

  it('a file of points, told feature by feature, and that nothing is usable', () => {
    const outcome = read(collection(feature({ type: 'Point', coordinates: [-93, 42] }, { name: 'Tree' })));
    expect(outcome.ok).toBe(false);
    expect(outcome.problems.map((one) => one.code)).toEqual(['geometry-other', 'nothing-usable']);
    expect(outcome.problems[0]!.text).toMatch(/Tree.*point/);
  });

  it('meters without a crs member, with what to say', () => {
    const outcome = read(collection(feature(polygon(448678, 4653404, 400))));
    expect(outcome.problems).toMatchObject([{ code: 'coordinate-system-unknown', level: 'error' }]);
    expect(outcome.problems[0]!.hint).toMatch(/--crs/);
    expect(
      boundariesIn(read(collection(feature(polygon(448678, 4653404, 400))), { crs: 'EPSG:32615' })).features.length,
    ).toBe(1);
  });

  it('a wish for a system that is none', () => {
    expect(codes(collection(feature(polygon(-93, 42))), { crs: 'Mars' })).toEqual(['coordinate-system-not-read']);
  });
});

describe('recognition', () => {
  const recognize = (name: string, text: string) =>
    geojsonImporter.recognize(bundleOf(name, text), new TextEncoder().encode(text));
  it('is certain by name or by content, and leaves other JSON alone', () => {
    expect(recognize('a.geojson', '')).toBe(1);
    expect(recognize('a.json', '\ufeff {"type": "FeatureCollection"')).toBe(1);
    expect(recognize('a.json', '{"farm": 1}')).toBeLessThan(0.5);
    expect(recognize('a.csv', 'lon,lat')).toBe(0);
  });
});

describe('single features', () => {
  it('other geometry is told and left out, the rest stays', () => {
    const outcome = read(
      collection(
        feature(polygon(-93, 42), { name: 'A' }),
        feature({ type: 'Point', coordinates: [-93, 42] }, { name: 'Well' }),
        feature(
          {
            type: 'LineString',
            coordinates: [
              [-93, 42],
              [-93.1, 42],
            ],
          },
          { name: 'Drain' },
        ),
        feature({ type: 'Blob', coordinates: [] }, { name: 'Odd' }),
        feature({ type: 'Polygon', coordinates: [[['-93', 42]]] }, { name: 'Text' }),
        { type: 'Polygon' },
        null,
      ),
    );
    expect(boundariesIn(outcome).features.map((one) => one.name)).toEqual(['A']);
    expect(outcome.ok && outcome.value.reading).toMatchObject({ rows: 7, unusedRows: 6 });
    expect(outcome.problems.map((one) => one.where?.feature)).toEqual([2, 3, 4, 5, 6, 7]);
    expect(outcome.problems.map((one) => one.level)).toEqual(Array(6).fill('warning'));
  });

  it('numbers too large for a double, and 1e300, refuse their feature alone', () => {
    const text = JSON.stringify(
      collection(feature(polygon(-93, 42)), feature(polygon(-92, 42)), feature(polygon(-91, 42))),
    );
    const outcome = read(text.replace('[-92,42]', '[-92,1e999]').replace('[-91,42]', '[1e300,42]'));
    expect(outcome.problems.map((one) => one.code)).toEqual(['coordinate-not-finite', 'coordinate-out-of-range']);
    expect(boundariesIn(outcome).features.map((one) => one.feature)).toEqual([1]);
  });

  it('one feature with latitude first among right ones is left out, told as swapped', () => {
    const outcome = read(collection(feature(polygon(-93, 42)), feature(polygon(42, -93))));
    expect(outcome.problems).toMatchObject([{ code: 'coordinates-swapped', where: { feature: 2 } }]);
  });

  it('a ring of two corners, a ring on one line: no area, told', () => {
    const line = {
      type: 'Polygon',
      coordinates: [
        [
          [-93, 42],
          [-92.99, 42],
          [-92.98, 42],
          [-93, 42],
        ],
      ],
    };
    const two = {
      type: 'Polygon',
      coordinates: [
        [
          [-93, 42],
          [-92.99, 42],
          [-93, 42],
        ],
      ],
    };
    const outcome = read(
      collection(
        feature(polygon(-93, 41)),
        feature(line),
        feature(two),
        feature({ type: 'Polygon', coordinates: [[]] }),
      ),
    );
    expect(outcome.problems.map((one) => one.code)).toEqual([
      'ring-without-area',
      'ring-without-area',
      'shape-missing',
    ]);
  });

  it('a shape across half a continent is no field', () => {
    expect(codes(collection(feature(polygon(-93, 42)), feature(polygon(-100, 30, 9))))).toEqual(['shape-too-large']);
  });

  it('a hole across the edge is cut out, a hole outside is left out, both told with areas', () => {
    const across = { type: 'Polygon', coordinates: [...square(-93, 42), ...hole(-93.001, 42.004, 0.002)] };
    const outside = { type: 'Polygon', coordinates: [...square(-93, 43), ...hole(-93.1, 43, 0.002)] };
    const outcome = read(collection(feature(across, { name: 'Across' }), feature(outside, { name: 'Outside' })));
    expect(outcome.problems.map((one) => one.code)).toEqual(['hole-crosses-edge', 'hole-outside']);
    for (const one of outcome.problems) expect(one.text).toMatch(/ha .* as drawn, .* now/);
    const [first, second] = boundariesIn(outcome).features;
    expect(first!.areaM2).toBeLessThan(second!.areaM2);
  });

  it('attributes that are lists or objects are left out and told; an id of the feature is kept', () => {
    const outcome = read({
      type: 'Feature',
      id: 7,
      properties: { name: 'A', tags: [1], x: null, y: true },
      geometry: polygon(-93, 42),
    });
    expect(boundariesIn(outcome).features[0]!.properties).toEqual({ name: 'A', x: null, y: true, id: 7 });
    expect(outcome.problems).toMatchObject([{ code: 'property-nested', level: 'note' }]);
  });

  it('a property called __proto__ is data', () => {
    const text = JSON.stringify(collection(feature(polygon(-93, 42), { a: 1 }))).replace('"a":1', '"__proto__":"x"');
    const { properties } = boundariesIn(read(text)).features[0]!;
    expect(Object.keys(properties)).toEqual(['__proto__']);
  });
});

describe('encodings', () => {
  const text = JSON.stringify(collection(feature(polygon(-93, 42), { name: 'Núñez' })));
  it('UTF-16 with its mark, either way round', () => {
    for (const little of [true, false]) {
      const bytes = new Uint8Array(2 + 2 * text.length);
      const view = new DataView(bytes.buffer);
      [...`\ufeff${text}`].forEach((letter, i) => view.setUint16(2 * i, letter.charCodeAt(0), little));
      expect(boundariesIn(readAll(geojsonImporter, bundleOf('a.geojson', bytes))).features[0]!.name).toBe('Núñez');
    }
  });
  it('Windows-1252 is read, and said to be a guess', () => {
    const outcome = readAll(
      geojsonImporter,
      bundleOf(
        'a.geojson',
        Uint8Array.from(text, (letter) => letter.charCodeAt(0)),
      ),
    );
    expect(boundariesIn(outcome).features[0]!.name).toBe('Núñez');
    expect(outcome.problems).toMatchObject([{ code: 'encoding-guessed', level: 'warning' }]);
  });
});

it('progress rises to all of the bytes; a host may stop at any turn', () => {
  const bundle = bundleOf(
    'a.geojson',
    JSON.stringify(collection(...Array.from({ length: 200 }, (_, i) => feature(polygon(-93 + i / 50, 42))))),
  );
  const turns = [...geojsonImporter.read(bundle, {})];
  expect(turns.length).toBeGreaterThan(3);
  const size = bundle.parts[0]!.size;
  expect(turns.every(([done, all], i) => all === size && done <= all && done >= (turns[i - 1]?.[0] ?? 0))).toBe(true);
  expect(turns.at(-1)![0]).toBeGreaterThan(0.9 * size);
  const stopped = geojsonImporter.read(bundle, {});
  stopped.next();
  expect(stopped.return(undefined as never).done).toBe(true);
});
