/**
 * Ordinary kriging: the best linear unbiased prediction of a value between places, with its variance.
 * The system [K 1; 1ᵀ 0] is solved through the Cholesky factor of the covariance K: with p = L⁻¹k, o = L⁻¹1, q = L⁻¹z
 * and the mean m = oᵀq / oᵀo, ẑ = m + pᵀ(q − m·o) and variance = C(0) − pᵀp + (1 − oᵀp)² / oᵀo.
 */
import { indexPoints } from '../geometry/point-index.ts';
import { factorise, forwardSolve, forwardSolveFour } from './cholesky.ts';
import { neighbourSets } from './neighbour-sets.ts';
import type { VariogramModel } from './variogram-model.ts';
import { correlation } from './variogram-model.ts';

/** Values at places: metres of a local frame. No two places may be the same. */
export interface KrigingData {
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  readonly z: Float64Array;
}

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

/** Points that stand for a block: metres from the target, weights that sum to 1. */
export interface Block {
  readonly dxM: Float64Array;
  readonly dyM: Float64Array;
  readonly weight: Float64Array;
}

/** A square block as so many by so many equal cells. @param sideM above 0 */
export function squareBlock(sideM: number, perSide = 4): Block {
  const points = perSide * perSide;
  const off = (step: number) => (step - (perSide - 1) / 2) * (sideM / perSide);
  return {
    dxM: Float64Array.from({ length: points }, (_, i) => off(i % perSide)),
    dyM: Float64Array.from({ length: points }, (_, i) => off(Math.floor(i / perSide))),
    weight: new Float64Array(points).fill(1 / points),
  };
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

/** Up to this many places each covariance is kept once it was needed (4 MB), above they are computed again for each neighbourhood. */
const KEEP_ALL_UP_TO = 1000;
/** Added to the diagonal, as a share of its mean, where rounding has eaten positive definiteness; never more. */
export const JITTER = 1e-10;

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
  refuseNowhere(data);
  refuseDuplicates(data);
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

/** Memory that factors of sets of places may take, bytes. */
const KEPT_BYTES = 2 ** 20;
const MOST_KEPT = 512;

/** Systems of the sets of places that were used last, each in the slot that its ids point to: a row of cells meets those of the row before. */
class KeptSystems {
  private readonly slots: (KrigingSystem | undefined)[];
  private readonly covariances: KeptCovariances;

  constructor(
    private readonly data: KrigingData,
    private readonly model: VariogramModel,
    private readonly size: number,
  ) {
    const slots = Math.floor(KEPT_BYTES / (8 * size * (size + 2)));
    this.slots = new Array<undefined>(Math.max(1, Math.min(MOST_KEPT, slots))).fill(undefined);
    this.covariances = new KeptCovariances(data, model, size);
  }

  /** @param ids ascending */
  of(ids: Int32Array, count: number): KrigingSystem {
    let hash = 0;
    for (let i = 0; i < count; i++) hash = Math.imul(hash ^ ids[i]!, 0x9e3779b1);
    const slot = (hash >>> 0) % this.slots.length;
    const system = (this.slots[slot] ??= new KrigingSystem(this.data, this.model, this.size, this.covariances));
    system.use(ids, count);
    return system;
  }
}

/** Covariances of pairs of places. */
class KeptCovariances {
  /** Packed lower triangle, NaN until needed; null where they would be too many. */
  private readonly all: Float64Array | null;

  constructor(
    private readonly data: KrigingData,
    private readonly model: VariogramModel,
    size: number,
  ) {
    const n = data.z.length;
    this.all = size < n && n <= KEEP_ALL_UP_TO ? new Float64Array((n * (n + 1)) / 2).fill(NaN) : null;
  }

  /** Of the place `ids[i]` with those before it, into `out` from `to` on. */
  fillRow(ids: Int32Array, i: number, out: Float64Array, to: number): void {
    const { all } = this;
    const id = ids[i]!;
    if (!all) {
      for (let j = 0; j < i; j++) out[to + j] = this.of(id, ids[j]!);
      return;
    }
    const packed = (id * (id + 1)) / 2;
    for (let j = 0; j < i; j++) {
      const kept = all[packed + ids[j]!]!;
      out[to + j] = kept === kept ? kept : (all[packed + ids[j]!] = this.of(id, ids[j]!));
    }
  }

  private of(i: number, j: number): number {
    const { data, model } = this;
    return model.partialSill * correlation(model.kind, distanceM(data, j, data.xM[i]!, data.yM[i]!), model.rangeM);
  }
}

/** The factorised covariance of one set of places, kept while the set stays the same. */
class KrigingSystem {
  readonly factor: Float64Array;
  /** L⁻¹1 and L⁻¹z. */
  readonly ones: Float64Array;
  readonly values: Float64Array;
  onesSquared = 1;
  mean = 0;
  private readonly members: Int32Array;
  private count = -1;

  constructor(
    private readonly data: KrigingData,
    private readonly model: VariogramModel,
    private readonly size: number,
    private readonly covariances: KeptCovariances,
  ) {
    this.factor = new Float64Array(size * size);
    this.ones = new Float64Array(size);
    this.values = new Float64Array(size);
    this.members = new Int32Array(size);
  }

  /** @param ids ascending */
  use(ids: Int32Array, count: number): void {
    if (count === this.count) {
      let i = 0;
      while (i < count && ids[i] === this.members[i]) i++;
      if (i === count) return;
    }
    this.count = count;
    for (let i = 0; i < count; i++) this.members[i] = ids[i]!;
    this.fill(0);
    if (!factorise(this.factor, count, this.size)) {
      this.fill(JITTER * (this.model.partialSill + this.model.nugget));
      if (!factorise(this.factor, count, this.size)) {
        throw new RangeError(
          'ordinaryKriging: the system is singular; places too close together, or a Gaussian model without a nugget',
        );
      }
    }
    for (let i = 0; i < count; i++) {
      this.ones[i] = 1;
      this.values[i] = this.data.z[ids[i]!]!;
    }
    forwardSolve(this.factor, count, this.size, this.ones);
    forwardSolve(this.factor, count, this.size, this.values);
    let [oo, oq] = [0, 0];
    for (let i = 0; i < count; i++) {
      oo += this.ones[i]! * this.ones[i]!;
      oq += this.ones[i]! * this.values[i]!;
    }
    this.onesSquared = oo;
    this.mean = oq / oo;
  }

  private fill(jitter: number): void {
    const { factor, members, count, size, model } = this;
    for (let i = 0; i < count; i++) {
      this.covariances.fillRow(members, i, factor, i * size);
      factor[i * size + i] = model.partialSill + model.nugget + jitter;
    }
  }
}

/** Mean covariance of two points of a block. */
function withinBlock({ dxM, dyM, weight }: Block, { kind, partialSill, rangeM }: VariogramModel): number {
  let sum = 0;
  for (let i = 0; i < weight.length; i++) {
    for (let j = 0; j < weight.length; j++) {
      const h = Math.hypot(dxM[i]! - dxM[j]!, dyM[i]! - dyM[j]!);
      sum += weight[i]! * weight[j]! * correlation(kind, h, rangeM);
    }
  }
  return partialSill * sum;
}

function distanceM(data: KrigingData, id: number, x: number, y: number): number {
  const dx = data.xM[id]! - x;
  const dy = data.yM[id]! - y;
  return Math.sqrt(dx * dx + dy * dy);
}

function refuseNowhere({ xM, yM, z }: KrigingData): void {
  for (let i = 0; i < z.length; i++) {
    if (!Number.isFinite(xM[i]! + yM[i]! + z[i]!))
      throw new RangeError(`ordinaryKriging: datum ${i} is no number at a place`);
  }
}

function refuseDuplicates({ xM, yM }: KrigingData): void {
  const order = Array.from(xM.keys()).sort((a, b) => xM[a]! - xM[b]! || yM[a]! - yM[b]!);
  for (let i = 1; i < order.length; i++) {
    const [a, b] = [order[i - 1]!, order[i]!];
    if (xM[a] === xM[b] && yM[a] === yM[b])
      throw new RangeError(`ordinaryKriging: data ${a} and ${b} lie at one place; merge them first`);
  }
}
