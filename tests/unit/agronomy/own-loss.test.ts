import { describe, expect, test } from 'vitest';
import { fitLoss, lossPercentAt, yieldBand } from '../../../shared/agronomy/own-loss-curve.ts';
import { gatherPairs, type WeedCount, yieldNear } from '../../../shared/agronomy/own-loss-pairs.ts';
import {
  aicOf,
  judgeOwnLoss,
  type LiteratureLoss,
  type PlacedPairs,
  whyNoCurve,
} from '../../../shared/agronomy/own-loss.ts';
import { stream } from '../../../shared/statistics/random.ts';
import { closeTo } from '../../support/close-to.ts';

const literature: LiteratureLoss = {
  low: { I: 3, A: 38 },
  central: { I: 12, A: 60 },
  high: { I: 45, A: 95 },
};
const truth = { weedFreeKgHa: 3500, I: 9, A: 65 };

/** Places on a grid: a third without weeds, the others up to `most`, closer where few stand. */
function field(seed: number, n: number, most: number, noise: number, curve = truth): PlacedPairs {
  const random = stream(seed, 'own loss');
  const densityPerM2 = Float64Array.from({ length: n }, (_, i) => (i % 3 === 0 ? 0 : most * random.uniform() ** 2));
  return {
    densityPerM2,
    yieldKgHa: densityPerM2.map(
      (one) => curve.weedFreeKgHa * (1 - lossPercentAt(curve, one) / 100 + noise * random.normal()),
    ),
    xM: Float64Array.from({ length: n }, (_, i) => 30 * (i % 8)),
    yM: Float64Array.from({ length: n }, (_, i) => 30 * Math.floor(i / 8)),
  };
}
const conditionOf = (fit: ReturnType<typeof judgeOwnLoss>, id: string) => fit.conditions.find((one) => one.id === id)!;
const of = (densities: readonly number[], yields: readonly number[]): PlacedPairs => ({
  densityPerM2: Float64Array.from(densities),
  yieldKgHa: Float64Array.from(yields),
  xM: Float64Array.from(densities, (_, i) => 30 * i),
  yM: new Float64Array(densities.length),
});

describe('a field that has a curve', () => {
  test('gives it back where nothing blurs the pairs', () => {
    const { curve } = fitLoss(field(1, 48, 40, 0), literature.central, false);
    closeTo(curve.I / truth.I, 1, { within: 1e-6, because: 'pairs lie on the curve' });
    closeTo(curve.A / truth.A, 1, { within: 1e-6, because: 'pairs lie on the curve' });
    closeTo(curve.weedFreeKgHa / truth.weedFreeKgHa, 1, { within: 1e-6, because: 'pairs lie on the curve' });
  });

  test('has the truth within the 80% intervals on about 80 of 100 fields', () => {
    const fields = 150;
    const held = { I: 0, A: 0, loss: 0, band: 0 };
    for (let seed = 1; seed <= fields; seed++) {
      const pairs = field(seed, 60, 40, 0.08);
      const fit = judgeOwnLoss(pairs, literature);
      expect(fit.ceilingFrom).toBe('records');
      const within = ({ low, high }: { low: number | null; high: number | null }, value: number) =>
        value >= (low ?? -Infinity) && value <= (high ?? Infinity) ? 1 : 0;
      held.I += within(fit.interval80.I, truth.I);
      held.A += within(fit.interval80.A, truth.A);
      held.loss += within(fit.loss80, lossPercentAt(truth, fit.medianDensityPerM2) / 100);
      if (seed > 40) continue;
      const [at5] = yieldBand(pairs, fit, null, [5], 0.8);
      held.band += within(at5!, truth.weedFreeKgHa * (1 - lossPercentAt(truth, 5) / 100));
    }
    const because = 'three standard deviations of a share of 80% over the fields';
    for (const name of ['I', 'A', 'loss'] as const)
      closeTo(held[name] / fields, 0.8, { within: 3 * Math.sqrt(0.16 / fields), because: `${name}: ${because}` });
    closeTo(held.band / 40, 0.8, { within: 3 * Math.sqrt(0.16 / 40), because });
  });

  test('stands in for the literature where all conditions are met, with the quartiles of its loss around it', () => {
    const fit = judgeOwnLoss(field(3, 60, 40, 0.05), literature);
    expect(fit.conditions.map((one) => one.met)).toEqual(['yes', 'yes', 'yes', 'yes', 'yes']);
    expect(fit.used).toBe(true);
    const at = (curve: { I: number; A: number }) => lossPercentAt(curve, fit.medianDensityPerM2) / 100;
    expect(at(fit.quartiles!.mild)).toBeLessThan(fit.lossFraction);
    expect(at(fit.quartiles!.harsh)).toBeGreaterThan(fit.lossFraction);
    expect(at(fit.quartiles!.mild)).toBeGreaterThan(fit.loss80.low!);
    expect(at(fit.quartiles!.harsh)).toBeLessThan(fit.loss80.high!);
  });

  test('does not depend on the order of its places', () => {
    const pairs = field(4, 40, 30, 0.06);
    const turned = (x: Float64Array) => Float64Array.from([...x].reverse());
    const other = judgeOwnLoss(
      {
        densityPerM2: turned(pairs.densityPerM2),
        yieldKgHa: turned(pairs.yieldKgHa),
        xM: turned(pairs.xM),
        yM: turned(pairs.yM),
      },
      literature,
    );
    const because = 'the same least squares, summed in another order';
    closeTo(other.curve.I / judgeOwnLoss(pairs, literature).curve.I, 1, { within: 1e-6, because });
  });
});

describe('a field whose records hold less', () => {
  test('keeps A of the literature, says that only the slope is shown, and is not used', () => {
    const fit = judgeOwnLoss(field(5, 45, 1.5, 0.03, { ...truth, I: 12 }), literature);
    expect(fit.ceilingFrom).toBe('literature');
    expect(fit.curve.A).toBe(literature.central.A);
    expect(fit.interval80.A.high).toBeNull();
    expect(fit.saying).toContain('only show the slope I');
    expect(conditionOf(fit, 'above half loss').met).toBe('A kept');
    expect(conditionOf(fit, 'bends').met).toBe('no');
    expect(fit.used).toBe(false);
  });

  test('with too few pairs is shown, not used', () => {
    const fit = judgeOwnLoss(field(6, 19, 40, 0.03), literature);
    expect(conditionOf(fit, 'pairs').met).toBe('no');
    expect(fit.used).toBe(false);
  });

  test('with yields that do not fall shows no loss', () => {
    const fit = judgeOwnLoss(of([0, 0, 1, 2, 4, 8, 16, 20], [10, 10.1, 10.2, 10.4, 10.3, 10.9, 11, 11.4]), literature);
    expect(fit.curve.I).toBe(0);
    expect(fit.lossFraction).toBe(0);
    expect(fit.loss80.low).toBe(0);
    expect(fit.saying).toContain('show no loss');
    expect(fit.used).toBe(false);
  });

  test('that falls like a step has no upper end of the slope, and is not used', () => {
    const densities = Array.from({ length: 30 }, (_, i) => (i < 12 ? 0 : 2 + i));
    const random = stream(7, 'step');
    const fit = judgeOwnLoss(
      of(
        densities,
        densities.map((one) => (one > 0 ? 60 : 100) + random.normal()),
      ),
      literature,
    );
    expect(fit.interval80.I.high).toBeNull();
    expect(conditionOf(fit, 'slope held').met).toBe('no');
    expect(fit.used).toBe(false);
  });

  test('with like residuals side by side says that something else moves the yield', () => {
    const pairs = field(8, 64, 20, 0.01);
    expect(judgeOwnLoss(pairs, literature).doubts).toEqual([]);
    const wet = { ...pairs, yieldKgHa: pairs.yieldKgHa.map((one, i) => one * (pairs.xM[i]! < 100 ? 0.8 : 1)) };
    expect(judgeOwnLoss(wet, literature).doubts.join(' ')).toContain('something else than weeds');
  });
});

describe('pairs that are no picture', () => {
  const six = [1, 2, 3, 4, 5, 6];
  test.each([
    ['no place', [], [], 'no place'],
    ['one place', [3], [3000], 'only 1 place'],
    ['no weed anywhere', [0, 0, 0, 0, 0, 0], six, 'no weed stood'],
    ['two weedy places', [0, 0, 0, 0, 1, 2], six, 'weeds stood at 2 of the 6'],
    ['one density', [2, 2, 2, 2, 2, 2], six, 'stood alike'],
    ['one yield', six, [5, 5, 5, 5, 5, 5], 'the yield is the same'],
  ])('%s: told in a sentence', (_, densities, yields, words) => {
    expect(whyNoCurve(of(densities, yields))).toContain(words);
  });
  test('any other can be fitted', () => expect(whyNoCurve(of(six, six))).toBeNull());
});

describe('places and the yield map', () => {
  const size = 10;
  const values = Float32Array.from({ length: size * size }, (_, cell) => 1000 + cell);
  const grid = { x0M: 0, y0M: 0, columns: size, rows: size, cellM: 5, values };
  const place = (xM: number, yM: number, count: number, more: Partial<WeedCount> = {}) => ({
    xM,
    yM,
    count,
    effortM2: 2,
    ...more,
  });

  test('the yield is the mean of the known cells within reach, with their number', () => {
    // Centre of cell (2, 2) is 12.5, 12.5: within 5 m lie it and its four neighbors.
    expect(yieldNear(grid, 12.5, 12.5, 5)).toEqual({ yieldKgHa: 1022, cells: 5 });
    const holed = { ...grid, values: values.map((one, cell) => (cell === 22 || cell === 21 ? NaN : one)) };
    expect(yieldNear(holed, 12.5, 12.5, 5)).toEqual({ yieldKgHa: (1012 + 1023 + 1032) / 3, cells: 3 });
  });

  test('fewer than three cells, or none but unknown ones, are no yield', () => {
    expect(yieldNear(grid, -30, 10, 9)).toBeNull();
    expect(yieldNear({ ...grid, values: values.map(() => NaN) }, 12.5, 12.5, 9)).toBeNull();
  });

  test('weeds of one place add as plants of the weed with the largest load', () => {
    const { pairs, reference, weights } = gatherPairs(
      [
        { species: 'a', lossPerPlant: 10, places: [place(12, 12, 4), place(30, 30, 0)] },
        { species: 'b', lossPerPlant: 2.5, places: [place(12, 12, 8), place(30, 30, 2)] },
        { species: 'c', lossPerPlant: 5, places: [] },
      ],
      grid,
      9,
    );
    expect(reference).toBe('a');
    expect(weights).toEqual({ a: 1, b: 0.25, c: 0.5 });
    expect(pairs.map((one) => one.densityPerM2)).toEqual([3, 0.25]);
  });

  test('a place without a full count, without every weed or without a yield is left out and told', () => {
    const a = [place(12, 12, 4), place(20, 20, 1, { presenceOnly: true }), place(30, 30, 3), place(400, 400, 1)];
    const b = [place(12, 12, 8), place(20, 20, 0), place(400, 400, 0), place(25, 12, 1, { atLeast: true })];
    const { pairs, leftOut } = gatherPairs(
      [
        { species: 'a', lossPerPlant: 10, places: a },
        { species: 'b', lossPerPlant: 2.5, places: b },
      ],
      grid,
      9,
    );
    expect(pairs).toHaveLength(1);
    expect(leftOut).toEqual({ notCounted: 2, notEveryWeed: 1, noYield: 1 });
  });
});

test('AIC is counted as R counts it', () => {
  // tests/reference/curve-fitting/cases.json, hyperbola-many: AIC 10.9906452611179 at RSS 2.52380710954418, n 40, 3 parameters.
  closeTo(aicOf(2.52380710954418, 40, 3), 10.9906452611179, { within: 1e-10, because: 'one formula' });
});
