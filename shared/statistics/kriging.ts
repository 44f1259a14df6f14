/**
 * Ordinary kriging: the best linear unbiased prediction of a value between places, with its variance.
 * The system [K 1; 1ᵀ 0] is solved through the Cholesky factor of the covariance K: with p = L⁻¹k, o = L⁻¹1, q = L⁻¹z
 * and the mean m = oᵀq / oᵀo, ẑ = m + pᵀ(q − m·o) and variance = C(0) − pᵀp + (1 − oᵀp)² / oᵀo.
 */
import { indexPoints } from '../geometry/point-index.ts';
import { forwardSolve, forwardSolveFour } from './cholesky.ts';
import { type Block, withinBlock } from './kriging-block.ts';
import { distanceM, type KrigingData, refuseUnsound } from './kriging-data.ts';
import { KeptSystems, type KrigingSystem } from './kriging-systems.ts';
import { neighbourSets } from './neighbour-sets.ts';
import type { VariogramModel } from './variogram-model.ts';
import { correlation } from './variogram-model.ts';

export interface KrigingOptions {
  /**
   * What the nugget is. `micro-structure`: real variation below the spacing; a prediction at a datum is the datum and the
   * variance counts the nugget. `measurement error`: noise of the datum (counts are); the smooth part is predicted and the
   * variance leaves the nugget out.
   */
  readonly nugget: 'micro-structure' | 'measurement error';
  /** Nearest places used for a target; all where omitted. */
  readonly neighbours?: number;
  /** Places farther from the target are not used, m (only with `neighbours`). */
  readonly maxDistanceM?: number;
  /** The mean over a block about the target is predicted instead of the value at it; the nugget is then no part of it. */
  readonly block?: Block;
}

export interface Kriging {
  /**
   * Predicts at targets `from` … `to`−1; NaN where no place is near enough.
   * @param prediction written, in the values' unit @param variance written, squared
   */
  predict(
    xM: Float64Array,
    yM: Float64Array,
    from: number,
    to: number,
    prediction: Float64Array,
    variance: Float64Array,
  ): void;
}

/**
 * A predictor from data and a fixed model.
 * Ties and the order of the data change nothing but rounding. Duplicated places throw: merge them first.
 * @throws on fewer than one datum, a datum without a place or value, duplicated places, a model without a positive range, or a system that stays singular
 * @source tests/reference/variogram-kriging, gstat 2.1-0 (both nugget placements, neighbourhoods, blocks)
 * @cost all places: n³/6 once + n²/2 a target; k neighbours: k³/6 for each new set + k²/2 a target; a block of b points: n·b more
 */
export function ordinaryKriging(data: KrigingData, model: VariogramModel, options: KrigingOptions): Kriging {
  const n = data.z.length;
  if (n < 1 || data.xM.length !== n || data.yM.length !== n)
    throw new RangeError(`ordinaryKriging: ${data.xM.length}, ${data.yM.length} places for ${n} values`);
  if (
    !(model.rangeM > 0) ||
    !(model.nugget >= 0) ||
    !(model.partialSill >= 0) ||
    !(model.nugget + model.partialSill > 0)
  ) {
    throw new RangeError(
      `ordinaryKriging: no valid model, nugget ${model.nugget}, partial sill ${model.partialSill}, range ${model.rangeM} m`,
    );
  }
  refuseUnsound(data);
  const micro = options.nugget === 'micro-structure';
  const { block } = options;
  const atZero = block ? withinBlock(block, model) : model.partialSill + (micro ? model.nugget : 0);
  const local = options.neighbours !== undefined && options.neighbours < n;
  const size = local ? options.neighbours! : n;
  const maxDistanceM = options.maxDistanceM ?? Infinity;
  const index = local || maxDistanceM < Infinity ? indexPoints(data.xM, data.yM) : null;
  const systems = new KeptSystems(data, model, size);
  const nearest = new Int32Array(size);
  const p = new Float64Array(index ? size : 4 * n);

  const withPoint = (id: number, x: number, y: number): number => {
    const h = distanceM(data, id, x, y);
    return model.partialSill * correlation(model.kind, h, model.rangeM) + (micro && h === 0 ? model.nugget : 0);
  };
  const withBlock = (id: number, x: number, y: number): number => {
    const { dxM, dyM, weight } = block!;
    let sum = 0;
    for (let b = 0; b < weight.length; b++) {
      sum += weight[b]! * correlation(model.kind, distanceM(data, id, x + dxM[b]!, y + dyM[b]!), model.rangeM);
    }
    return model.partialSill * sum;
  };
  const covariance = block ? withBlock : withPoint;
  /** The covariances of all data with a target, every fourth element of `out` from `at` on. */
  const covariances = (x: number, y: number, out: Float64Array, at: number): void => {
    const { kind, partialSill, rangeM, nugget } = model;
    const ofDatum = micro ? nugget : 0;
    if (block) {
      for (let i = 0; i < n; i++) out[at + 4 * i] = withBlock(i, x, y);
      return;
    }
    for (let i = 0, to = at; i < n; i++, to += 4) {
      const dx = data.xM[i]! - x;
      const dy = data.yM[i]! - y;
      const h = Math.sqrt(dx * dx + dy * dy);
      out[to] = partialSill * correlation(kind, h, rangeM) + (h === 0 ? ofDatum : 0);
    }
  };
  /** Prediction and variance from pᵀp, oᵀp and qᵀp. */
  const write = (
    system: KrigingSystem,
    t: number,
    pp: number,
    po: number,
    pq: number,
    prediction: Float64Array,
    variance: Float64Array,
  ): void => {
    prediction[t] = system.mean + pq - system.mean * po;
    const apart = 1 - po;
    variance[t] = Math.max(0, atZero - pp + (apart * apart) / system.onesSquared);
  };

  const fromNearest: Kriging['predict'] = (xM, yM, from, to, prediction, variance) => {
    const nearestOf = neighbourSets(index!, data.xM, data.yM, size);
    for (let t = from; t < to; t++) {
      const x = xM[t]!;
      const y = yM[t]!;
      const count = withinReach(nearestOf(xM, yM, t, to, nearest), x, y);
      if (count === 0) {
        prediction[t] = variance[t] = NaN;
        continue;
      }
      const system = systems.of(nearest, count);
      const { factor, ones, values } = system;
      for (let i = 0; i < count; i++) p[i] = covariance(nearest[i]!, x, y);
      forwardSolve(factor, count, size, p);
      let [pp, po, pq] = [0, 0, 0];
      for (let i = 0; i < count; i++) {
        const value = p[i]!;
        pp += value * value;
        po += value * ones[i]!;
        pq += value * values[i]!;
      }
      write(system, t, pp, po, pq, prediction, variance);
    }
  };

  const fromAll: Kriging['predict'] = (xM, yM, from, to, prediction, variance) => {
    const { factor, ones, values } = whole!;
    for (let t = from; t < to; t += 4) {
      for (let c = 0; c < 4; c++) {
        const target = Math.min(to - 1, t + c); // the last target fills a short block
        covariances(xM[target]!, yM[target]!, p, c);
      }
      forwardSolveFour(factor, n, n, p);
      for (let c = 0; c < 4 && t + c < to; c++) {
        let [pp, po, pq] = [0, 0, 0];
        for (let i = 0; i < n; i++) {
          const value = p[4 * i + c]!;
          pp += value * value;
          po += value * ones[i]!;
          pq += value * values[i]!;
        }
        write(whole!, t + c, pp, po, pq, prediction, variance);
      }
    }
  };

  /** Drops neighbours beyond the longest distance. */
  function withinReach(found: number, x: number, y: number): number {
    if (maxDistanceM === Infinity) return found;
    let count = 0;
    for (let i = 0; i < found; i++) {
      if (distanceM(data, nearest[i]!, x, y) <= maxDistanceM) nearest[count++] = nearest[i]!;
    }
    return count;
  }

  const whole = index
    ? null
    : systems.of(
        Int32Array.from({ length: n }, (_, i) => i),
        n,
      );
  return { predict: whole ? fromAll : fromNearest };
}
