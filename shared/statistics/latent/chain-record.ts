import { drawnAtCoarse, expectedAtCells } from './cell-geometry.ts';
import type { ChainResult } from './chain.ts';
import type { RangeGeometries } from './range-geometries.ts';
import type { LatentSweep } from './sweep.ts';

/** Joint draws a kept sweep. */
export const DRAWS = 3;

/** What a running chain writes down. */
export class ChainRecord {
  private kept = 0;
  private readonly mu: Float64Array;
  private readonly logSill: Float64Array;
  private readonly logK: Float64Array;
  private readonly rangeIndex: Uint8Array;
  private readonly surface: Float32Array;
  private readonly variance: Float32Array;
  private readonly draws: Float32Array;
  private readonly expected: Float64Array;
  private readonly work: Float64Array;
  private readonly z: Float64Array;
  private readonly apart: Float64Array;

  constructor(
    private readonly sampler: LatentSweep,
    private readonly geometries: RangeGeometries,
    keeps: number,
  ) {
    const count = geometries.cells.xM.length;
    const coarse = geometries.cells.coarse.length;
    [this.mu, this.logSill, this.logK] = [new Float64Array(keeps), new Float64Array(keeps), new Float64Array(keeps)];
    this.rangeIndex = new Uint8Array(keeps);
    this.surface = new Float32Array(keeps * count);
    this.variance = new Float32Array(geometries.correlations * count).fill(NaN);
    this.draws = new Float32Array(keeps * DRAWS * coarse);
    this.expected = new Float64Array(count);
    this.work = new Float64Array(sampler.u.length);
    [this.z, this.apart] = [new Float64Array(coarse), new Float64Array(coarse)];
  }

  keep(normal: () => number): void {
    const { sampler, geometries, kept, expected, z, apart } = this;
    const { coarse } = geometries.cells;
    const { mu, logSill, rangeIndex } = sampler;
    const geometry = geometries.ofCells(rangeIndex);
    this.variance.set(geometry.variance, rangeIndex * expected.length);
    const rootSill = Math.exp(logSill / 2);
    this.mu[kept] = mu;
    this.logSill[kept] = logSill;
    this.logK[kept] = sampler.logK;
    this.rangeIndex[kept] = rangeIndex;
    expectedAtCells(geometry, sampler.geometry(rangeIndex), sampler.u, this.work, expected);
    const row = kept * expected.length;
    for (let cell = 0; cell < expected.length; cell++) this.surface[row + cell] = mu + rootSill * expected[cell]!;
    for (let draw = 0; draw < DRAWS; draw++) {
      for (let i = 0; i < z.length; i++) z[i] = normal();
      drawnAtCoarse(geometry, z, apart);
      const at = (kept * DRAWS + draw) * z.length;
      for (let i = 0; i < z.length; i++) this.draws[at + i] = mu + rootSill * (expected[coarse[i]!]! + apart[i]!);
    }
    this.kept++;
  }

  result(chain: number, parts: number, before: ChainResult | undefined): ChainResult {
    const { mu, logSill, logK, rangeIndex, u } = this.sampler;
    return {
      chain,
      parts,
      kept: this.kept + (before?.kept ?? 0),
      mu: joined(before?.mu, this.mu),
      logSill: joined(before?.logSill, this.logSill),
      logK: joined(before?.logK, this.logK),
      rangeIndex: joined(before?.rangeIndex, this.rangeIndex),
      surface: joined(before?.surface, this.surface),
      variance: before ? eitherVariance(before.variance, this.variance) : this.variance,
      draws: joined(before?.draws, this.draws),
      state: { mu, logSill, logK, rangeIndex, u: u.slice() },
    };
  }
}

type Column = Float64Array | Float32Array | Uint8Array;

/** One array behind the other. */
export function joined<T extends Column>(first: T | undefined, second: T): T {
  if (!first) return second;
  const out = new (second.constructor as new (length: number) => T)(first.length + second.length);
  out.set(first);
  out.set(second, first.length);
  return out;
}

/** Where one has no number, the other's; where both have, they are the same. */
export function eitherVariance(first: Float32Array, second: Float32Array): Float32Array {
  return first.map((value, i) => (Number.isNaN(value) ? second[i]! : value));
}
