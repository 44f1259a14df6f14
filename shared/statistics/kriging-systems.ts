/** The factorised covariances of sets of places, kept while the sets come again. */
import { factorise, forwardSolve } from './cholesky.ts';
import { distanceM, type KrigingData } from './kriging-data.ts';
import { correlation, type VariogramModel } from './variogram-model.ts';

/** Up to this many places each covariance is kept once it was needed (4 MB), above they are computed again for each neighbourhood. */
const KEEP_ALL_UP_TO = 1000;
/** Added to the diagonal, as a share of its mean, where rounding has eaten positive definiteness; never more. */
export const JITTER = 1e-10;
/** Memory that factors of sets of places may take, bytes. */
const KEPT_BYTES = 2 ** 20;
const MOST_KEPT = 512;

/** Systems of the sets of places that were used last, each in the slot that its ids point to: a row of cells meets those of the row before. */
export class KeptSystems {
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
export class KrigingSystem {
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
