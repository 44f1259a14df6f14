import { describe, expect, test } from 'vitest';
import type { Study } from '../../../shared/analysis/study.ts';
import { MemoryHost } from '../../support/memory-host.ts';
import { boundaries, counts, placeIn, scouting, SCOUTING_HEADER, SIDE_M } from '../../support/small-farm.ts';

interface Brought {
  readonly code: number;
  readonly told: string;
  readonly study: Study;
  readonly west: Study['fields'][number];
  readonly weed: Study['fields'][number]['bySpecies'][number] | null;
}

/** One file of counts through import, every step and the study, as a person brings it. */
function bring(table: string): Brought {
  const host = new MemoryHost({ 'boundaries.geojson': boundaries(), 'counts.csv': table });
  host.run('new', 'farm', '--name', 'Small Farm');
  host.run('add', 'farm', 'boundaries.geojson');
  const { code, out, err } = host.run('add', 'farm', 'counts.csv');
  const study = host.json<Study>('study', 'farm');
  const west = study.fields.find((one) => one.id === 'west')!;
  const told = `${out} ${err} ${study.problems.map((one) => `${one.text} ${one.hint ?? ''}`).join(' ')}`;
  return { code, told: told.replace(/\s+/g, ' '), study, west, weed: west.bySpecies[0] ?? null };
}

/** No number of the study is NaN or infinite (JSON would have made it null), and none below 0 or above the field. */
function sound({ west, weed }: Brought): void {
  const { low, central, high } = weed!.infestedAreaM2;
  if (central !== null) {
    expect(low!).toBeGreaterThanOrEqual(0);
    expect(low!).toBeLessThanOrEqual(central);
    expect(central).toBeLessThanOrEqual(high!);
    expect(high!).toBeLessThanOrEqual(west.areaM2 * 1.000001);
  }
  expect(weed!.unknownAreaM2).toBeGreaterThanOrEqual(0);
  expect(weed!.unknownAreaM2).toBeLessThanOrEqual(west.areaM2);
}

const at = (x: number, y: number) =>
  placeIn('West', x, y)
    .map((one) => one.toFixed(7))
    .join(',');
const row = (x: number, y: number, count: number | string, quadratM2: number | string = 1) =>
  `2026-08-28,West,${at(x, y)},waterhemp,${count},${quadratM2}`;
const hill = (x: number, y: number) => Math.round(12 * Math.exp(-((x - 40) ** 2 + (y - 30) ** 2) / (2 * 30 ** 2)));

describe('counts that are', () => {
  test('all zero: a bound on what may have been missed, never a zero, and no map', () => {
    const brought = bring(scouting(counts('West', [6, 6], () => 0)));
    const { weed } = brought;
    expect(weed).toMatchObject({ basis: 'clean round', places: 36, positives: 0, variogram: null });
    expect(weed!.meanDensityPerM2).toMatchObject({ low: 0, central: 0 });
    // 3.0 / Σe
    expect(weed!.meanDensityPerM2.high!).toBeCloseTo(-Math.log(0.05) / 36, 10);
    expect(weed!.notes.join(' ')).toMatch(/Zero found is not zero there/);
    sound(brought);
  });

  test('one single stop: its density for its surroundings, the rest unknown, and no area', () => {
    const brought = bring(scouting([row(60, 60, 4)]));
    const { weed, west } = brought;
    expect(weed).toMatchObject({ basis: 'points', places: 1, positives: 1, variogram: null });
    expect(weed!.infestedAreaM2).toEqual({ low: null, central: null, high: null });
    expect(weed!.unknownAreaM2).toBeGreaterThan(0.9 * west.areaM2);
    expect(weed!.notes.join(' ')).toMatch(/One quadrat cannot tell how clumped/);
    sound(brought);
  });

  test.each([
    ['all on a line', (n: number) => [5 + 4.4 * n, 60]],
    ['all on a slanted line', (n: number) => [5 + 4.4 * n, 10 + 3.9 * n]],
  ] as const)('%s: the ground beside the line stays unknown', (_what, place) => {
    const rows = Array.from({ length: 25 }, (_, n) => {
      const [x, y] = place(n);
      return row(x!, y!, hill(x!, y!));
    });
    const brought = bring(scouting(rows));
    expect(brought.weed!.places).toBeGreaterThan(20);
    expect(brought.weed!.unknownAreaM2).toBeGreaterThan(0.25 * brought.west.areaM2);
    sound(brought);
  });

  test('so close that no position tells them apart: one place', () => {
    const rows = Array.from({ length: 25 }, (_, n) => row(60 + 0.01 * n, 60, n % 3));
    const brought = bring(scouting(rows));
    expect(brought.weed).toMatchObject({ places: 1, basis: 'points' });
    sound(brought);
  });

  test('two at one place with different numbers: added with their ground, as one place', () => {
    const brought = bring(scouting([row(60, 60, 2), row(60, 60, 7), row(20, 20, 0)]));
    expect(brought.weed).toMatchObject({ places: 2, positives: 1 });
    // 9 plants on 3 m²
    expect(brought.weed!.meanDensityPerM2.central!).toBeCloseTo(3, 12);
    const surface = [...counts('West', [6, 6], hill, undefined, 7), row(60, 60, 2), row(60, 60, 9)];
    sound(bring(scouting(surface)));
  });

  test('of an effort of 0: the row is told with its number and not used', () => {
    const brought = bring(scouting([row(60, 60, 2, 0), row(20, 20, 3), row(30, 20, 0)]));
    expect(brought.told).toMatch(/Row 2/);
    expect(brought.told).toMatch(/ground|quadrat/i);
    expect(brought.weed).toMatchObject({ places: 2 });
    const none = bring(scouting([row(60, 60, 2, 0)]));
    expect(none.code).toBe(2);
    expect(none.weed).toBeNull();
  });

  test('not whole: told with their row, used as they are', () => {
    const some = bring(scouting([row(60, 60, 2.5), row(20, 20, 3)]));
    expect(some.told).toMatch(/Row 2.*2\.5|2\.5.*whole/);
    expect(some.weed!.meanDensityPerM2.central!).toBeCloseTo(2.75, 12);
    const surface = bring(scouting(counts('West', [6, 6], (x, y) => hill(x, y) + 0.25, undefined, 7)));
    expect(surface.weed!.places).toBe(36);
    sound(surface);
  });

  test('outside every field: told with how many, and in no field', () => {
    const outside = (n: number) => `2026-08-28,,${(-93.6 + 0.0001 * n).toFixed(7)},42.05,waterhemp,9,1`;
    const brought = bring(scouting([row(60, 60, 2), row(20, 20, 0), outside(1), outside(2)]));
    expect(brought.told).toMatch(/2 .*(outside|in no field|none of the fields|not in)/i);
    expect(brought.study.fields.reduce((sum, one) => sum + (one.bySpecies[0]?.places ?? 0), 0)).toBe(2);
  });

  test('without any likeness (pure nugget): that neighbors foretell nothing is said', () => {
    // a checkerboard: every neighbor is unlike
    const brought = bring(scouting(counts('West', [8, 8], (_x, _y, n) => ((n + Math.floor(n / 8)) % 2 ? 9 : 0))));
    const { weed } = brought;
    expect(weed!.variogram).not.toBeNull();
    const { leftOut, noStructure } = weed!.variogram!;
    expect(noStructure).not.toBeNull();
    expect(leftOut.doubts.join(' ')).toMatch(/do not trust the map/);
    sound(brought);
  });

  test(
    '50,000: studied in a bounded time, the variogram from as many as the pairs allow, told',
    { timeout: 60_000 },
    () => {
      const rows = Array.from({ length: 50_000 }, (_, n) => {
        const x = ((n * 0.754877666) % 1) * (SIDE_M - 2) + 1;
        const y = ((n * 0.569840291) % 1) * (SIDE_M - 2) + 1;
        return row(x, y, hill(x, y) > 6 ? (n % 5) + 3 : n % 13 === 0 ? 1 : 0);
      });
      const brought = bring(`${[SCOUTING_HEADER, ...rows].join('\n')}\n`);
      const { weed, west } = brought;
      expect(weed!.places).toBeGreaterThan(40_000);
      expect(weed!.variogram).toMatchObject({ places: 2000, ofPlaces: weed!.places });
      // 41 % of the ground has more than one plant a m².
      expect(weed!.infestedAreaM2.central!).toBeGreaterThan(0.1 * west.areaM2);
      sound(brought);
    },
  );
});
