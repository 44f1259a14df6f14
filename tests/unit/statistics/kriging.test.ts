import { describe, expect, it } from 'vitest';
import {
  crossValidation,
  leaveOneOutOfAll,
  leaveOneOutOfNearest,
} from '../../../shared/statistics/cross-validation.ts';
import { indexPoints } from '../../../shared/geometry/point-index.ts';
import { inverseDistance } from '../../../shared/statistics/idw.ts';
import { type KrigingOptions, ordinaryKriging } from '../../../shared/statistics/kriging.ts';
import type { KrigingData } from '../../../shared/statistics/kriging-data.ts';
import { stream } from '../../../shared/statistics/random.ts';
import type { VariogramModel } from '../../../shared/statistics/variogram-model.ts';
import { closeTo } from '../../support/close-to.ts';
import { squareBlock } from '../../support/square-block.ts';

const MODEL: VariogramModel = { kind: 'exponential', nugget: 0.2, partialSill: 0.8, rangeM: 60 };
const SMOOTH = { nugget: 'measurement error' } as const;
const MICRO = { nugget: 'micro-structure' } as const;
const rounding = { within: 1e-10, because: 'rounding of the solved system' };

function scattered(n: number): KrigingData {
  const random = stream(9, 'kriging test', n);
  const column = (draw: () => number) => Float64Array.from({ length: n }, draw);
  return {
    xM: column(() => 400 * random.uniform()),
    yM: column(() => 400 * random.uniform()),
    z: column(() => random.normal()),
  };
}
interface Targets {
  xM: Float64Array;
  yM: Float64Array;
}
const TARGETS: Targets = { xM: Float64Array.of(10, 200, 399, 5000), yM: Float64Array.of(15, 210, 0, 5000) };

function predict(data: KrigingData, options: KrigingOptions, model = MODEL, { xM, yM } = TARGETS) {
  const out = { prediction: new Float64Array(xM.length), variance: new Float64Array(xM.length) };
  ordinaryKriging(data, model, options).predict(xM, yM, 0, xM.length, out.prediction, out.variance);
  return out;
}
function same(a: ReturnType<typeof predict>, b: ReturnType<typeof predict>): void {
  a.prediction.forEach((value, i) => closeTo(b.prediction[i]!, value, rounding));
  a.variance.forEach((value, i) => closeTo(b.variance[i]!, value, rounding));
}

describe('ordinary kriging', () => {
  it('refuses no data, odd columns, an empty model, a place twice and no place', () => {
    const none = new Float64Array();
    expect(() => ordinaryKriging({ xM: none, yM: none, z: none }, MODEL, SMOOTH)).toThrow(/for 0 values/);
    expect(() => ordinaryKriging({ ...scattered(5), z: Float64Array.of(1) }, MODEL, SMOOTH)).toThrow(/for 1 values/);
    expect(() => ordinaryKriging(scattered(5), { ...MODEL, nugget: 0, partialSill: 0 }, SMOOTH)).toThrow(
      /no valid model/,
    );
    expect(() => ordinaryKriging(scattered(5), { ...MODEL, rangeM: 0 }, SMOOTH)).toThrow(/no valid model/);
    const twice = { xM: Float64Array.of(0, 5, 0), yM: Float64Array.of(0, 5, 0), z: Float64Array.of(1, 2, 3) };
    expect(() => ordinaryKriging(twice, MODEL, SMOOTH)).toThrow(/data 0 and 2 lie at one place/);
    const nowhere = { ...scattered(5), xM: Float64Array.of(0, 1, NaN, 3, 4) };
    expect(() => ordinaryKriging(nowhere, MODEL, SMOOTH)).toThrow(/datum 2 is no number at a place/);
  });

  it('answers where rounding alone makes the system singular', () => {
    const row = Float64Array.from({ length: 60 }, (_, i) => i);
    const model: VariogramModel = { kind: 'gaussian', nugget: 0, partialSill: 1, rangeM: 1e4 };
    const at = { xM: Float64Array.of(10.5), yM: Float64Array.of(0) };
    const { prediction } = predict({ xM: row, yM: new Float64Array(60), z: row }, MICRO, model, at);
    closeTo(prediction[0]!, 10.5, { within: 1e-3, because: 'the jitter of 1e-10 on a straight line' });
  });

  it('from one datum gives the datum everywhere, surer beside it', () => {
    const { prediction, variance } = predict(
      { xM: Float64Array.of(10), yM: Float64Array.of(15), z: Float64Array.of(3) },
      SMOOTH,
    );
    prediction.forEach((value) => closeTo(value, 3, rounding));
    closeTo(variance[0]!, 0.2, { within: 1e-12, because: 'the noise of the datum alone' });
    expect(variance[3]).toBeGreaterThan(1.7);
  });

  it('of equal values is that value, and of shifted and scaled values shifts and scales', () => {
    const data = scattered(30);
    predict({ ...data, z: new Float64Array(30).fill(7) }, SMOOTH).prediction.forEach((value) =>
      closeTo(value, 7, rounding),
    );
    const plain = predict(data, SMOOTH);
    const moved = predict({ ...data, z: data.z.map((z) => 5 - 2 * z) }, SMOOTH);
    plain.prediction.forEach((value, i) => closeTo(moved.prediction[i]!, 5 - 2 * value, rounding));
    plain.variance.forEach((value, i) => closeTo(moved.variance[i]!, value, rounding));
  });

  it('gives the datum at a datum with the nugget as micro-structure, the smooth part with it as noise', () => {
    const data = scattered(30);
    const at = { xM: data.xM, yM: data.yM };
    const micro = predict(data, MICRO, MODEL, at);
    const smooth = predict(data, SMOOTH, MODEL, at);
    data.z.forEach((z, i) => {
      closeTo(micro.prediction[i]!, z, rounding);
      closeTo(micro.variance[i]!, 0, rounding);
      expect(Math.abs(smooth.prediction[i]! - z)).toBeGreaterThan(1e-6);
      expect(smooth.variance[i]!).toBeLessThan(MODEL.nugget + 1e-12);
    });
  });

  it('does not depend on the order of the data, nor on where the frame lies', () => {
    const data = scattered(80);
    const order = Array.from(data.z.keys()).reverse();
    const take = (from: Float64Array) => Float64Array.from(order, (i) => from[i]!);
    const turned = { xM: take(data.xM), yM: take(data.yM), z: take(data.z) };
    const away = { ...data, xM: data.xM.map((x) => x + 1024), yM: data.yM.map((y) => y - 512) };
    const awayTargets = { xM: TARGETS.xM.map((x) => x + 1024), yM: TARGETS.yM.map((y) => y - 512) };
    for (const options of [SMOOTH, { ...SMOOTH, neighbours: 12 }]) {
      same(predict(data, options), predict(turned, options));
      same(predict(data, options), predict(away, options, MODEL, awayTargets));
    }
  });

  it('from as many neighbours as there are data is kriging from all', () => {
    same(predict(scattered(25), { ...SMOOTH, neighbours: 25 }), predict(scattered(25), SMOOTH));
  });

  it('gives each target the same answer whatever was asked before it', () => {
    const data = scattered(1200); // more than are kept as a whole matrix
    const together = predict(data, { ...SMOOTH, neighbours: 16 });
    const kriging = ordinaryKriging(data, MODEL, { ...SMOOTH, neighbours: 16 });
    for (const i of [3, 1, 0, 2]) {
      const alone = { prediction: new Float64Array(4), variance: new Float64Array(4) };
      kriging.predict(TARGETS.xM, TARGETS.yM, i, i + 1, alone.prediction, alone.variance);
      expect([alone.prediction[i], alone.variance[i]]).toEqual([together.prediction[i], together.variance[i]]);
    }
  });

  it.each([900, 1200])('along a row of cells is kriging from the 16 nearest of each alone: %i places', (n) => {
    const data = scattered(n);
    const cells = {
      xM: Float64Array.from({ length: 200 }, (_, i) => 2 * i),
      yM: new Float64Array(200).fill(123),
    };
    const index = indexPoints(data.xM, data.yM);
    const nearest = new Int32Array(16);
    const row = predict(data, { ...MICRO, neighbours: 16 }, MODEL, cells);
    for (let i = 0; i < 200; i += 7) {
      index.nearest(cells.xM[i]!, cells.yM[i]!, 16, nearest);
      const take = (values: Float64Array) => Float64Array.from(nearest, (id) => values[id]!);
      const near = { xM: take(data.xM), yM: take(data.yM), z: take(data.z) };
      const one = { xM: cells.xM.slice(i, i + 1), yM: cells.yM.slice(i, i + 1) };
      const alone = predict(near, MICRO, MODEL, one);
      closeTo(row.prediction[i]!, alone.prediction[0]!, rounding);
      closeTo(row.variance[i]!, alone.variance[0]!, rounding);
    }
  });

  it('of a block is the mean of the smooth part over it, surer than a point; of a block of one point that point', () => {
    const data = scattered(60);
    const block = squareBlock(40);
    const at = { xM: Float64Array.of(200), yM: Float64Array.of(210) };
    const ours = predict(data, { ...MICRO, block }, MODEL, at);
    const points = {
      xM: block.dxM.map((dx) => 200 + dx),
      yM: block.dyM.map((dy) => 210 + dy),
    };
    const { prediction, variance } = predict(data, SMOOTH, MODEL, points);
    closeTo(ours.prediction[0]!, prediction.reduce((sum, one) => sum + one, 0) / 16, rounding);
    expect(ours.variance[0]!).toBeLessThan(Math.min(...variance));
    const single = { dxM: new Float64Array(1), dyM: new Float64Array(1), weight: Float64Array.of(1) };
    same(predict(data, { ...MICRO, block: single }), predict(data, SMOOTH));
    same(predict(data, { ...SMOOTH, block, neighbours: 60 }, MODEL, at), predict(data, { ...MICRO, block }, MODEL, at));
  });

  it('is unknown where no place is near enough', () => {
    const { prediction, variance } = predict(scattered(80), { ...SMOOTH, neighbours: 16, maxDistanceM: 100 });
    expect([prediction[3], variance[3]]).toEqual([NaN, NaN]);
    expect(prediction[1]).not.toBeNaN();
  });

  it('far from all data is the mean with more than the whole sill', () => {
    const { prediction, variance } = predict(scattered(80), SMOOTH);
    const more = predict(scattered(80), SMOOTH, MODEL, { xM: Float64Array.of(9000), yM: Float64Array.of(-9000) });
    closeTo(more.prediction[0]!, prediction[3]!, rounding);
    expect(variance[3]).toBeGreaterThan(MODEL.partialSill);
  });
});

describe('leave-one-out', () => {
  it('is what kriging from the others gives, datum by datum', () => {
    const data = scattered(40);
    const { prediction, variance } = leaveOneOutOfAll(data, MODEL);
    const near = leaveOneOutOfNearest(data, MODEL, 39);
    for (let i = 0; i < 40; i++) {
      const others = (from: Float64Array) => from.filter((_, j) => j !== i);
      const one = predict({ xM: others(data.xM), yM: others(data.yM), z: others(data.z) }, MICRO, MODEL, {
        xM: data.xM.subarray(i, i + 1),
        yM: data.yM.subarray(i, i + 1),
      });
      closeTo(prediction[i]!, one.prediction[0]!, rounding);
      closeTo(variance[i]!, one.variance[0]!, rounding);
      closeTo(near.prediction[i]!, one.prediction[0]!, rounding);
      closeTo(near.variance[i]!, one.variance[0]!, rounding);
    }
  });

  it('is healthy where the model made the data, and scores another model lower', () => {
    const random = stream(4, 'cross validation');
    const data = scattered(300);
    const noise = data.z.map(() => random.normal());
    const pure: VariogramModel = { kind: 'exponential', nugget: 0.999, partialSill: 0.001, rangeM: 50 };
    const right = crossValidation(noise, leaveOneOutOfAll({ ...data, z: noise }, pure));
    const wrong = crossValidation(noise, leaveOneOutOfAll({ ...data, z: noise }, { ...pure, nugget: 0.3 }));
    expect(right.meanSquaredZ).toBeGreaterThan(0.7);
    expect(right.meanSquaredZ).toBeLessThan(1.3);
    closeTo(right.within80Fraction, 0.8, { within: 0.1, because: 'four standard errors of 300' });
    expect(wrong.logScore).toBeLessThan(right.logScore);
    expect(wrong.meanSquaredZ).toBeGreaterThan(2);
  });
});

describe('inverse distance', () => {
  it('refuses no data and no neighbours', () => {
    const none = new Float64Array();
    expect(() => inverseDistance({ xM: none, yM: none, z: none }, none, none)).toThrow(/got 0 and 0/);
    expect(() => inverseDistance(scattered(3), none, none, { neighbours: 0 })).toThrow(/got 3 and 0/);
  });

  it('half way between two places is their mean, at a place its value, and never leaves the data', () => {
    const two = { xM: Float64Array.of(0, 10), yM: Float64Array.of(0, 0), z: Float64Array.of(1, 5) };
    const values = inverseDistance(two, Float64Array.of(5, 10, 1e-7, 300), new Float64Array(4));
    expect([values[0], values[1], values[2]]).toEqual([3, 5, 1]);
    expect(values[3]! > 1 && values[3]! < 5).toBe(true);
  });

  it('with a higher power listens more to the nearest', () => {
    const two = { xM: Float64Array.of(0, 10), yM: Float64Array.of(0, 0), z: Float64Array.of(0, 1) };
    const at = [Float64Array.of(2), Float64Array.of(0)] as const;
    closeTo(inverseDistance(two, ...at, { power: 2 })[0]!, 4 / 68, {
      within: 1e-12,
      because: 'd⁻² by hand: 1/64 over 1/4 + 1/64',
    });
    closeTo(inverseDistance(two, ...at, { power: 4 })[0]!, 16 / 4112, { within: 1e-12, because: 'd⁻⁴ by hand' });
  });
});
