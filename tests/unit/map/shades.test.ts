import { describe, expect, it } from 'vitest';
import type { FieldStudy, Study } from '../../../shared/analysis/study.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import { exactly, type Range, UNKNOWN_RANGE } from '../../../shared/model/range.ts';
import { SHADE_OF_PLACE, SHADES } from '../../../src/state/places.ts';
import {
  gridsTried,
  mainSpecies,
  readingsOf,
  readingsTried,
  scalesOf,
  shadesAlike,
} from '../../../src/map/shade-readings.ts';
import { shadeScale } from '../../../src/map/shade-scale.ts';
import { MAP_SHADES, type ShadeContext, shownIn, unitInWords } from '../../../src/map/shades.ts';

type Seen = FieldStudy['bySpecies'][number];

function seen(more: Partial<Seen>): Seen {
  return {
    species: 'waterhemp',
    name: 'waterhemp',
    basis: 'surface',
    method: '',
    meanDensityPerM2: { low: 0.1, central: 0.2, high: 0.4 },
    infestedAreaM2: exactly(0),
    unknownAreaM2: 0,
    places: 20,
    positives: 3,
    rangeIs: null,
    variogram: null,
    notes: [],
    ...more,
  };
}

function field(id: string, more: Partial<FieldStudy> = {}): FieldStudy {
  const nothing: Partial<FieldStudy> = {
    id,
    name: id,
    rank: null,
    areaM2: 10_000,
    unknownAreaM2: 10_000,
    infestedAreaM2: UNKNOWN_RANGE,
    bySpecies: [],
    yieldLossFraction: UNKNOWN_RANGE,
    seedsLandedInField: UNKNOWN_RANGE,
    stakePerHa: UNKNOWN_RANGE,
    harvest: null,
    programs: [],
    chosenProgram: null,
  };
  return { ...nothing, ...more } as FieldStudy;
}

function context(fields: readonly FieldStudy[], farm: Partial<Farm> = {}, season = 2026): ShadeContext {
  const study = { farm: { season: 2026 }, fields } as unknown as Study;
  return { farm: { ...emptyFarm('f', 'F'), ...farm }, study, season, species: 'waterhemp' };
}

const read = (shade: keyof typeof MAP_SHADES, one: FieldStudy, more: Partial<Farm> = {}) =>
  MAP_SHADES[shade].read(one, context([one, field('other', { rank: 2 })], more));

describe('the shades of the map', () => {
  it('are those that the page offers, and each place opens with one of them', () => {
    expect(Object.keys(MAP_SHADES).sort()).toEqual(SHADES.map((one) => one.id).sort());
    for (const shade of Object.values(SHADE_OF_PLACE)) expect(MAP_SHADES[shade].id).toBe(shade);
  });

  it('a field of which nothing is known has no value under any shade, and says so', () => {
    for (const shade of Object.values(MAP_SHADES)) {
      const { value, words } = shade.read(field('bare'), context([field('bare')]));
      expect(value).toBeNull();
      expect(words).not.toBe('');
    }
  });

  it('priority is the rank among the ranked', () => {
    expect(read('priority', field('a', { rank: 1 }))).toMatchObject({ value: 1, words: 'rank 1 of 2' });
  });

  it('a rating or a drawn patch never becomes a density', () => {
    const rated = field('a', { bySpecies: [seen({ basis: 'rating', meanDensityPerM2: UNKNOWN_RANGE, positives: 0 })] });
    expect(read('density', rated)).toMatchObject({ value: null, words: 'waterhemp rated or drawn, not counted' });
  });

  it('a clean round is none, with what may have been missed', () => {
    const clean = field('a', {
      bySpecies: [seen({ basis: 'clean round', positives: 0, meanDensityPerM2: { low: 0, central: 0, high: 0.25 } })],
    });
    const { value, words } = read('density', clean, { display: 'metric' });
    expect(value).toBe(0);
    expect(words).toBe('no waterhemp at 20 places, at most 0.250/m² may have been missed');
  });

  it('confidence is the share of the ground surely infested or surely clean, of the weed that is asked for', () => {
    const infestedAreaM2: Range = { low: 1000, central: 2000, high: 4000 };
    const other = seen({ species: 'palmer-amaranth', basis: 'clean round', unknownAreaM2: 10_000 });
    const of = (more: Partial<Seen>) => read('confidence', field('a', { bySpecies: [other, seen(more)] }));
    // 1000 m² surely infested, 10 000 − 4000 surely clean; another weed's ground changes nothing.
    expect(of({ infestedAreaM2 }).value).toBeCloseTo(0.7, 12);
    expect(of({ infestedAreaM2 }).words).toBe('sure of waterhemp on 70% of the ground');
    expect(of({ infestedAreaM2, unknownAreaM2: 2000 }).value).toBeCloseTo(0.5, 12);
    expect(of({ infestedAreaM2, unknownAreaM2: 7000 }).value).toBe(0);
    expect(of({ infestedAreaM2: UNKNOWN_RANGE })).toMatchObject({
      value: null,
      words: 'too few counts of waterhemp to say how sure',
    });
    expect(of({ basis: 'rating', meanDensityPerM2: UNKNOWN_RANGE, infestedAreaM2 }).value).toBeNull();
    expect(read('confidence', field('a', { bySpecies: [other] })).words).toBe('nobody looked for waterhemp');
  });

  it('chance is the share of the ground above the threshold, and says at which', () => {
    const infestedAreaM2: Range = { low: 1000, central: 2000, high: 4000 };
    const one = field('a', { bySpecies: [seen({ infestedAreaM2 })] });
    expect(read('chance', one, { display: 'metric' })).toMatchObject({
      value: 0.2,
      words: 'waterhemp above its threshold on 0.10 to 0.40 hectares, most likely 0.20',
    });
    const clean = field('a', { bySpecies: [seen({ infestedAreaM2: UNKNOWN_RANGE })] });
    expect(read('chance', clean)).toMatchObject({
      value: null,
      words: 'on how much ground waterhemp stands is not known',
    });
    const title = (thresholdPerM2: Record<string, number>) =>
      MAP_SHADES.chance.title(context([one], { display: 'metric', thresholdPerM2 }), '');
    expect(title({ waterhemp: 0.25 })).toBe('Chance of waterhemp at 0.25/m² or more');
    expect(title({})).toBe('Chance of waterhemp at 1/m² or more');
  });

  it('while a threshold is tried on one field, the others say nothing of their own', () => {
    const all = context([field('a'), field('b')]);
    const tried = { field: 'a', species: 'waterhemp', perM2: 2, map: null, share: 0.3, words: 'as tried' };
    const readings = readingsTried(all, tried);
    expect(readings.get('a')).toEqual({ value: 0.3, words: 'as tried', group: '' });
    expect(readings.get('b')).toMatchObject({ value: null, words: 'not shown while another threshold is tried' });
    expect(gridsTried(tried).size).toBe(0);
  });

  it('inside of a field, a toss of a coin is no confidence, certainty either way is all', () => {
    const { of } = MAP_SHADES.confidence.inside!;
    expect([0.5, 0, 1, 0.75].map(of)).toEqual([0, 1, 1, 0.5]);
  });

  it('yields are classed crop by crop, in bushels where the trade has them', () => {
    const crops = [
      { field: 'a', crop: 'corn' },
      { field: 'b', crop: 'soybean' },
    ] as unknown as Farm['seasons'][number]['crops'];
    const seasons = [{ year: 2026, crops, visits: [] }] as unknown as Farm['seasons'];
    const harvested = (id: string, meanYieldKgHa: number) =>
      field(id, { harvest: { meanYieldKgHa } as FieldStudy['harvest'] });
    // 10 000 kg/ha of corn: 10 000 / 0.45359237 / 56 × 0.40468564224 = 159.3 bu/ac.
    const corn = read('yield', harvested('a', 10_000), { seasons });
    expect(corn).toMatchObject({ value: 10_000, words: 'corn 159 bu/ac', group: 'corn' });
    expect(read('yield', harvested('b', 3500), { seasons }).group).toBe('soybean');
    expect(read('yield', harvested('a', 10_000), { seasons, display: 'metric' }).words).toBe('corn 10,000 kg/ha');

    const of = context([harvested('a', 10_000), harvested('b', 3500)], { seasons });
    const scales = scalesOf(MAP_SHADES.yield, of, readingsOf(MAP_SHADES.yield, of, null), null);
    expect([...scales.keys()].sort()).toEqual(['corn', 'soybean']);
  });

  it('seed is told per area, gain with its sign', () => {
    const landed = field('a', { seedsLandedInField: { low: 1e6, central: 2e6, high: 4e6 } });
    expect(read('seed-landed', landed).value).toBe(200);
    const program = (id: string, central: number) =>
      ({
        id,
        gainPerHa: { low: central - 1, central, high: central + 1 },
        seedbankPerM2ByYear: [exactly(50)],
      }) as never;
    const planned = field('a', { programs: [program('as-now', 0), program('p', -40)], chosenProgram: 'p' });
    expect(read('gain', planned).value).toBe(-40);
    expect(read('seedbank', planned).value).toBe(50);
  });

  it('another season than the study’s is read from its grids, and is unknown without', () => {
    const grid = { origin: [0, 0] as const, grid: { x0M: 0, y0M: 0, columns: 2, rows: 2, cellM: 5 } };
    const grids = new Map([['a', { ...grid, values: Float32Array.of(1, 3, NaN, NaN) }]]);
    const before = context([field('a', { rank: 1 }), field('b')], { display: 'metric' }, 2025);
    const readings = readingsOf(MAP_SHADES.density, before, grids);
    expect(readings.get('a')).toMatchObject({ value: 2, words: '2025: 2/m² on average' });
    expect(readings.get('b')).toMatchObject({ value: null, words: 'nothing is known of 2025' });
  });

  it('looks at the weed that was found at the most places, unless another is chosen', () => {
    const study = {
      fields: [
        field('a', { bySpecies: [seen({ positives: 3 }), seen({ species: 'giant-foxtail', positives: 4 })] }),
        field('b', { bySpecies: [seen({ positives: 2 })] }),
      ],
    } as unknown as Study;
    expect(mainSpecies(study)).toBe('waterhemp');
    expect(mainSpecies(null)).toBe('');
  });
});

describe('the scale of a shade', () => {
  it('ranks: the first stands out most', () => {
    const { place } = shadeScale({ scale: 'rank', least: 0 }, [1, 2, 3], 1);
    expect([1, 2, 3].map(place)).toEqual([1, 0.5, 0]);
    expect(shadeScale({ scale: 'rank', least: 0 }, [1], 1).place(1)).toBe(1);
  });

  it('gain and loss: about none is the middle, both sides alike', () => {
    const { edges, place } = shadeScale({ scale: 'signed', least: 0 }, [-90, -50, -10, 5, 30, 60, 90], 1);
    expect(edges).toEqual([...edges].sort((a, b) => a - b));
    edges.forEach((edge, i) => expect(edge).toBe(-edges[edges.length - 1 - i]!));
    expect(place(0)).toBe(0.5);
    expect(place(90) + place(-90)).toBe(1);
  });
});

describe('the scale of a share', () => {
  it('is the same whatever else is on the map: a field surely known is dark, also among others as sure', () => {
    for (const values of [[], [0.86, 0.8, 0.72], [0.1, 0.9]]) {
      const { edges, place } = shadeScale({ scale: 'share', least: 0 }, values, 0.01);
      expect(edges).toEqual([0.2, 0.4, 0.6, 0.8]);
      expect([0, 0.19, 0.5, 0.8, 1].map(place)).toEqual([0, 0, 0.5, 1, 1]);
    }
  });
});

describe('a value on the legend', () => {
  it('has at most three figures and its unit', () => {
    const perM2 = { before: '', after: '/m²', factor: 1 };
    expect([0, 0.012345, 1.5, 123.4, 1234567].map((one) => shownIn(perM2, one))).toEqual([
      '0/m²',
      '0.0123/m²',
      '1.5/m²',
      '123/m²',
      '1,234,567/m²',
    ]);
    expect(shownIn({ before: '$', after: '/ac', factor: 1 }, -12)).toBe('−$12/ac');
  });

  it('names its unit in words', () => {
    expect(unitInWords({ before: '', after: '/m²', factor: 1 })).toBe('per m²');
    expect(unitInWords({ before: '$', after: '/ac', factor: 1 })).toBe('($/ac)');
    expect(unitInWords({ before: '', after: '', factor: 1 })).toBe('');
  });
});

describe('an edit', () => {
  const farm = emptyFarm('f', 'F');
  it('of what was seen draws no shade anew before its study is there', () => {
    expect(shadesAlike(farm, { ...farm, rounds: [], thresholdPerM2: { waterhemp: 1 } })).toBe(true);
  });
  it('of anything else does', () => {
    expect(shadesAlike(farm, { ...farm, display: farm.display === 'us' ? 'metric' : 'us' })).toBe(false);
    expect(shadesAlike(farm, { ...farm, seasons: [] })).toBe(false);
  });
});
