import { describe, expect, it } from 'vitest';
import { assembleBoundaries, type Assembly, type Candidate } from '../../../shared/import/boundaries.ts';
import { askIfFarFromFarm } from '../../../shared/import/farm-distance.ts';
import type { ReadingWishes } from '../../../shared/import/importer.ts';
import { boundariesIn } from '../../support/bundle.ts';

type Properties = Record<string, string | number | null>;
const candidate = (properties: Properties, i: number): Candidate => {
  const lon = -93 + i / 50;
  const corners: [number, number][] = [
    [lon, 42],
    [lon + 0.01, 42],
    [lon + 0.01, 42.01],
    [lon, 42.01],
    [lon, 42],
  ];
  return { file: 'f', feature: i + 1, polygons: [[corners]], properties };
};
const run = (assembly: Omit<Assembly, 'bytes'>) => {
  const steps = assembleBoundaries({ ...assembly, bytes: 100 });
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
};
const assemble = (rows: Properties[], wishes: ReadingWishes = {}) =>
  run({
    importer: 'test',
    file: 'f',
    candidates: rows.map(candidate),
    rows: rows.length,
    crs: 'WGS 84',
    wishes,
  });
const names = (rows: Properties[], wishes: ReadingWishes = {}) =>
  boundariesIn(assemble(rows, wishes)).features.map((one) => one.name);

describe('names', () => {
  it('come from a column called so, whatever its letters, before any other', () => {
    expect(
      names([
        { id: 1, Field_Name: 'North', note: 'x y' },
        { id: 2, Field_Name: 'South', note: 'z w' },
      ]),
    ).toEqual(['North', 'South']);
    expect(names([{ FIELD: 'A', NAME: 'B' }])).toEqual(['B']);
  });
  it('else from text that differs from field to field', () => {
    const rows = [
      { id: 1, boundary_n: 'North', crop: 'corn' },
      { id: 2, boundary_n: 'South', crop: 'corn' },
    ];
    expect(names(rows)).toEqual(['North', 'South']);
    const outcome = assemble(rows);
    expect(outcome.ok && outcome.value.reading.columns['name']).toEqual({
      column: 'boundary_n',
      because: '“boundary_n” holds a text that differs from field to field',
      by: 'guess',
    });
  });
  it('else from an id, else from a number', () => {
    expect(
      names([
        { CSBID: '351', acres: 3 },
        { CSBID: '352', acres: 4 },
      ]),
    ).toEqual(['351', '352']);
    expect(names([{ acres: 3 }, { acres: 4 }])).toEqual(['Field 1', 'Field 2']);
  });
  it('of a single row without one is its number', () =>
    expect(names([{ name: 'A' }, { name: ' ' }, {}])).toEqual(['A', 'Field 2', 'Field 3']));
  it('are what the person says, by column; a column that is not there is told', () => {
    const rows = [{ name: 'A', farm: 'X' }];
    expect(names(rows, { columns: { name: 'farm' } })).toEqual(['X']);
    expect(assemble(rows, { columns: { name: 'barn' } }).problems).toMatchObject([{ code: 'column-missing' }]);
  });
  it('that two shapes bear are told, both kept', () => {
    const outcome = assemble([{ name: 'A' }, { name: 'B' }, { name: 'A' }]);
    expect(outcome.problems).toMatchObject([{ code: 'name-twice', where: { feature: 3, id: 'A' } }]);
    expect(boundariesIn(outcome).features.length).toBe(3);
  });
});

describe('drawn patches', () => {
  it.each(['class', 'density', 'density_class', 'Density Class', 'DensityCla'])(
    'are known by the column %s',
    (column) => {
      const outcome = assemble([
        { [column]: 'thin', species: 'waterhemp' },
        { [column]: 'Thick', species: 'waterhemp' },
      ]);
      expect(boundariesIn(outcome).kind).toBe('drawn patches');
      const reading = outcome.ok ? outcome.value.reading : null;
      expect(reading).toMatchObject({
        takenFor: 'drawn patches',
        columns: { 'density class': { column }, species: { column: 'species' } },
      });
      expect(reading!.why).toMatch(/only thin, medium, thick/);
    },
  );
  it('are known by plants per m², too', () => {
    const outcome = assemble([{ density_per_m2: 0.4 }, { density_per_m2: null }]);
    expect(boundariesIn(outcome).kind).toBe('drawn patches');
    expect(outcome.ok && outcome.value.reading.columns['density']).toMatchObject({
      column: 'density_per_m2',
      unit: 'per m2',
    });
    expect(outcome.problems).toMatchObject([{ code: 'density-class-missing', where: { feature: 2 } }]);
    expect(boundariesIn(assemble([{ density_per_m2: 0 }])).kind).toBe('boundaries');
  });
  it('are not made of classes that are other words', () => {
    expect(boundariesIn(assemble([{ class: 'thin' }, { class: 'loam' }])).kind).toBe('boundaries');
    expect(boundariesIn(assemble([{ class: null }])).kind).toBe('boundaries');
  });
  it('without a class are told', () => {
    expect(assemble([{ class: 'thin' }, { class: '' }]).problems).toMatchObject([
      { code: 'density-class-missing', where: { feature: 2 } },
    ]);
  });
  it('are what the person says they are', () => {
    expect(boundariesIn(assemble([{ class: 'thin' }], { as: 'boundaries' })).kind).toBe('boundaries');
    const patches = boundariesIn(assemble([{}], { as: 'drawn patches' }));
    expect([patches.kind, patches.features[0]!.name]).toEqual(['drawn patches', 'Patch 1']);
  });
});

describe('the same shape twice', () => {
  it('is told under one name and under two', () => {
    const twins = ['A', 'B', 'A'].map((name) => candidate({ name }, 0)).map((one, i) => ({ ...one, feature: i + 1 }));
    const outcome = run({
      importer: 'test',
      file: 'f',
      candidates: twins,
      rows: 3,
      crs: '',
      wishes: {},
    });
    expect(outcome.problems.map((one) => one.code).sort()).toEqual(['field-twice', 'shape-twice', 'shape-twice']);
  });
});

it('the box spans all fields; of none it is unknown', () => {
  expect(boundariesIn(assemble([{}, {}])).bounds).toEqual([-93, 42, -92.97, 42.01]);
  expect(boundariesIn(assemble([])).bounds).toEqual([NaN, NaN, NaN, NaN]);
});

describe('records far from the farm', () => {
  it('within 200 km nobody asks', () =>
    expect(askIfFarFromFarm([-93, 42, -92, 43], [-93.6, 42], 'f', 'us')).toBeNull());
  it('swapped degrees that would come home are asked about as swapped', () => {
    expect(askIfFarFromFarm([-12.3, -46.2, -12.2, -46.1], [-46.15, -12.25], 'f', 'us')).toMatchObject({
      code: 'coordinates-swapped',
    });
  });
  it('others are asked about as far, in the units of the farm', () => {
    const far = (display: 'us' | 'metric') => askIfFarFromFarm([5, 52, 5, 52], [-93.6, 42], 'f', display)!;
    expect(far('us')).toMatchObject({
      code: 'far-from-farm',
      text: expect.stringMatching(/, 4,3\d\d mi from the farm/),
    });
    expect(far('metric').text).toMatch(/, 6,9\d\d km from the farm/);
  });
});
