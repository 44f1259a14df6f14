/** Leave-one-out: each datum predicted from the others by a fixed model. */
import { indexPoints } from '../geometry/point-index.ts';
import { backwardSolve, factorise, forwardSolve, inverseDiagonal } from './cholesky.ts';
import { ordinaryKriging } from './kriging.ts';
import type { KrigingData } from './kriging-data.ts';
import { JITTER } from './kriging-systems.ts';
import { normalQuantile } from './special.ts';
import type { VariogramModel } from './variogram-model.ts';
import { correlation } from './variogram-model.ts';

export interface LeaveOneOut {
  /** Prediction of each datum from the others. */
  readonly prediction: Float64Array;
  /** Its variance as a new observation, nugget counted. */
  readonly variance: Float64Array;
}

/**
 * Leave-one-out predictions by ordinary kriging from all the others, from one factor: with B the inverse of the bordered
 * system, residual_i = (Bz)_i / B_ii and variance_i = 1 / B_ii.
 * @source Dubrule 1983, Math. Geology 15:687–699; tests/reference/variogram-kriging
 * @cost n³/3
 */
export function leaveOneOutOfAll({ xM, yM, z }: KrigingData, model: VariogramModel): LeaveOneOut {
  const n = z.length;
  const factor = new Float64Array(n * n);
  const fill = (jitter: number): void => {
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < i; j++) {
        const h = Math.hypot(xM[i]! - xM[j]!, yM[i]! - yM[j]!);
        factor[i * n + j] = model.partialSill * correlation(model.kind, h, model.rangeM);
      }
      factor[i * n + i] = (model.partialSill + model.nugget) * (1 + jitter);
    }
  };
  fill(0);
  if (!factorise(factor, n, n)) {
    fill(JITTER);
    if (!factorise(factor, n, n))
      throw new RangeError('leaveOneOutOfAll: the system is singular; merge places that are one');
  }
  const ones = new Float64Array(n).fill(1);
  const values = Float64Array.from(z);
  for (const x of [ones, values]) {
    forwardSolve(factor, n, n, x);
    backwardSolve(factor, n, n, x);
  }
  const diagonal = inverseDiagonal(factor, n);
  const total = sumOf(ones);
  const mean = sumOf(values) / total;
  const out = { prediction: new Float64Array(n), variance: new Float64Array(n) };
  for (let i = 0; i < n; i++) {
    const b = diagonal[i]! - (ones[i]! * ones[i]!) / total;
    out.prediction[i] = z[i]! - (values[i]! - mean * ones[i]!) / b;
    out.variance[i] = 1 / b;
  }
  return out;
}

/** The same from the nearest `neighbours` others of each datum. @cost n · k³/6 */
export function leaveOneOutOfNearest(data: KrigingData, model: VariogramModel, neighbours: number): LeaveOneOut {
  const n = data.z.length;
  const index = indexPoints(data.xM, data.yM);
  const found = new Int32Array(neighbours + 1);
  const out = { prediction: new Float64Array(n), variance: new Float64Array(n) };
  for (let i = 0; i < n; i++) {
    const count = index.nearest(data.xM[i]!, data.yM[i]!, neighbours + 1, found);
    const others = Array.from(found.subarray(0, count))
      .filter((id) => id !== i)
      .slice(0, neighbours);
    const near = { xM: pick(data.xM, others), yM: pick(data.yM, others), z: pick(data.z, others) };
    ordinaryKriging(near, model, { nugget: 'micro-structure' }).predict(
      data.xM.subarray(i),
      data.yM.subarray(i),
      0,
      1,
      out.prediction.subarray(i),
      out.variance.subarray(i),
    );
  }
  return out;
}

export interface CrossValidation {
  readonly meanError: number;
  readonly rmse: number;
  /** Mean of (error / standard deviation)²; 0.7–1.3 is healthy. */
  readonly meanSquaredZ: number;
  /** Share of the data within their 80 % interval. */
  readonly within80Fraction: number;
  /** Mean log density of the data under their predictions; larger is better. */
  readonly logScore: number;
}

/** How well leave-one-out predictions did. Error = datum − prediction. */
export function crossValidation(z: Float64Array, { prediction, variance }: LeaveOneOut): CrossValidation {
  const n = z.length;
  const reach = normalQuantile(0.9);
  let [error, squared, zSquared, inside, score] = [0, 0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    const e = z[i]! - prediction[i]!;
    const v = variance[i]!;
    error += e;
    squared += e * e;
    zSquared += (e * e) / v;
    inside += Math.abs(e) <= reach * Math.sqrt(v) ? 1 : 0;
    score -= 0.5 * (Math.log(2 * Math.PI * v) + (e * e) / v);
  }
  return {
    meanError: error / n,
    rmse: Math.sqrt(squared / n),
    meanSquaredZ: zSquared / n,
    within80Fraction: inside / n,
    logScore: score / n,
  };
}

function pick(from: Float64Array, ids: readonly number[]): Float64Array {
  return Float64Array.from(ids, (id) => from[id]!);
}

function sumOf(x: Float64Array): number {
  let sum = 0;
  for (const value of x) sum += value;
  return sum;
}
