import { readFileSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import { mapInfestation } from '../../../shared/agronomy/infestation.ts';
import { countingBound, measuredErrorFraction } from '../../../shared/agronomy/infested-area.ts';
import { stream } from '../../../shared/statistics/random.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';
import { run } from '../../support/run.ts';
import { SIMULATED_GRID, SIMULATED_INSIDE, simulateField, simulateScouting } from '../../support/simulated-weeds.ts';

/*
 * The counting bound against latent-cases.json (make-exact.py: scipy), the measured errors against results.json and
 * results-clumped.json (experiment.py), and a recovery of known truth on fields of the same kind. The latent count model
 * is held by latent-counts.test.ts; `nextPlace` is not built yet and not covered.
 */
type Json = any; // eslint-disable-line @typescript-eslint/no-explicit-any
const read = (name: string): Json => JSON.parse(readFileSync(new URL(name, import.meta.url), 'utf8'));

describe('the counting bound', () => {
  let largest = 0;
  afterAll(() => recordAgreement('infested-area', 'counting bound, 90 %', largest, 1e-9, 'relative'));

  for (const c of read('latent-cases.json').exact.countingBound.cases) {
    it(`of ${c.positive} of ${c.n} quadrats with plants is scipy's`, () => {
      const efforts = Float64Array.from({ length: c.n }, (_, i) => c.effortM2[i % c.effortM2.length]);
      const { low, high } = countingBound(c.positive, efforts, c.k, c.threshold);
      for (const [ours, theirs] of [
        [low, c.lower90],
        [high, c.upper90],
      ] as const) {
        closeTo(ours, theirs, { within: 1e-9 * Math.max(theirs, 1e-3), because: 'the case asks for 1e-9 relative' });
        largest = Math.max(largest, Math.abs(ours - theirs) / Math.max(theirs, 1e-3));
      }
    });
  }
});

describe('the measured error of the infested share', () => {
  const rmse = (results: Json, n: number): number =>
    results.results.find((one: Json) => one.n === n && one.threshold === 1).summary.logKrigingSumOfProbability.rmse;

  it('is the one that the experiment measured, at its numbers of quadrats', () => {
    for (const n of [20, 60, 200, 500])
      closeTo(measuredErrorFraction(n, 0.8), rmse(read('results.json'), n), {
        within: 5e-4,
        because: 'kept to three digits',
      });
    for (const n of [60, 200])
      closeTo(measuredErrorFraction(n, 0.2), rmse(read('results-clumped.json'), n), {
        within: 5e-4,
        because: 'kept to three digits',
      });
  });

  it('is the larger one where the counts are clumped, or where nobody can tell', () => {
    expect(measuredErrorFraction(60, null)).toBe(measuredErrorFraction(60, 0.2));
    expect(measuredErrorFraction(60, 0.39)).toBe(0.171);
    expect(measuredErrorFraction(60, 0.41)).toBe(0.102);
    expect(measuredErrorFraction(20, null)).toBe(0.171);
    expect(measuredErrorFraction(500, null)).toBe(0.125);
  });

  it('lies between its neighbours in log n, and is held at the ends', () => {
    closeTo(measuredErrorFraction(Math.sqrt(60 * 200), 0.8), (0.102 + 0.06) / 2, {
      within: 1e-12,
      because: 'half way in log n',
    });
    expect(measuredErrorFraction(2000, 0.8)).toBe(0.049);
  });
});

describe('a field with known truth', () => {
  const area = Float64Array.from(SIMULATED_INSIDE, (inside) => inside * SIMULATED_GRID.cellM ** 2);
  const areaM2 = area.reduce((sum, a) => sum + a, 0);

  /** The infestation of one simulated field, where it truly is, and how much of that lies on the ground that the answer is about. */
  function recover(seed: number, n: number, k: number) {
    const random = stream(seed, 'recovery', n, k);
    const densityAt = simulateField(random);
    const places = simulateScouting(random, densityAt, n, k);
    const given = {
      grid: SIMULATED_GRID,
      inside: SIMULATED_INSIDE,
      cellAreaM2: area,
      areaM2,
      places,
      rating: null,
      patches: [],
      thresholdPerM2: 1,
    };
    const map = run(mapInfestation(given));
    const truth = new Uint8Array(area.length);
    let truthM2 = 0;
    for (let cell = 0; cell < area.length; cell++) {
      const { x0M, y0M, columns, cellM } = SIMULATED_GRID;
      const [x, y] = [x0M + ((cell % columns) + 0.5) * cellM, y0M + (Math.floor(cell / columns) + 0.5) * cellM];
      truth[cell] = densityAt(x, y) >= 1 ? 1 : 0;
      if (map.infestedFractionOf === 'field' || map.known[cell]) truthM2 += truth[cell]! * area[cell]!;
    }
    return { map, truth, truthM2 };
  }

  for (const [k, least, widest] of [
    [0.8, 4, 0.4],
    [0.2, 3, 0.5],
  ] as const) {
    it(`with 60 quadrats of clumping ${k} has its infested area within the range in at least ${least} of 4`, () => {
      let [held, width] = [0, 0];
      for (let seed = 1; seed <= 4; seed++) {
        const { map, truthM2 } = recover(seed, 60, k);
        const { low, high } = map.infestedAreaM2;
        width += (high! - low!) / areaM2 / 4;
        if (low! <= truthM2 && truthM2 <= high!) held++;
      }
      expect(held).toBeGreaterThanOrEqual(least);
      expect(width, 'a range that holds everything says nothing').toBeLessThan(widest);
    });
  }

  it('has a map at 200 quadrats at least as good as the experiment saw: less than half the squared error of a flat map', () => {
    const { map, truth } = recover(1, 200, 0.8);
    expect(map.basis).toBe('surface');
    let [cells, infested, squared] = [0, 0, 0];
    for (let cell = 0; cell < area.length; cell++) {
      if (!map.known[cell]) continue;
      squared += (map.probabilityAbove![cell]! - truth[cell]!) ** 2;
      infested += truth[cell]!;
      cells++;
    }
    const share = infested / cells;
    expect(squared / cells).toBeLessThan(0.5 * share * (1 - share));
  });

  it('whose counts jump from quadrat to quadrat is told so, or that strips cannot be drawn', () => {
    let told = 0;
    for (let seed = 1; seed <= 5; seed++) {
      const { map } = recover(seed, 60, 0.2);
      const clumped = map.basis === 'surface' && map.positives >= 8 && map.latent!.k < 0.3;
      const strips = map.notes.some((note) => note.startsWith('Strips narrower'));
      const jump = map.notes.some((note) => note.startsWith('Counts jump'));
      expect(strips || jump).toBe(clumped);
      expect(strips && jump).toBe(false);
      if (strips) expect(map.latent!.rangeM).toBeLessThan(4 * map.spacingM!);
      told += clumped ? 1 : 0;
    }
    expect(told).toBeGreaterThan(0);
  });
});
