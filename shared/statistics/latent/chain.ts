/**
 * One chain of the latent count model. Two chains, each where it likes, are put together by `joinChains`; a chain hangs
 * on its input, the seed and its number alone. What is kept serves every threshold and every part of the field.
 */
import { stream } from '../random.ts';
import type { ModelCells } from './cell-geometry.ts';
import { ChainRecord } from './chain-record.ts';
import type { CountedPlaces } from './places.ts';
import { modelPlaces } from './places.ts';
import { RangeGeometries } from './range-geometries.ts';
import { LatentSweep } from './sweep.ts';

export interface LatentInput {
  readonly places: CountedPlaces;
  /** At most 1500 keep the promised time. */
  readonly cells: ModelCells;
  /**
   * Main direction of the harvest path, radians from x towards y: likeness may then reach 2, 4 or 8 times as far along it as
   * across. On simulated strips of 200 quadrats the 90 % range then holds 88 % of the truths instead of 75 %, with three
   * quarters of its width; soft and sharp-edged patches keep theirs. With 20–60 quadrats it makes less ground known: give
   * it there only where the finds follow the path (`findsFollowPath`).
   * @source `npm run bench infested-cover`, 24 fields a kind and number of quadrats, the same with and without
   */
  readonly direction?: number;
}

export interface ChainOptions {
  /** A whole number. */
  readonly seed: number;
  /** 0 or 1: chains of other numbers have other draws. */
  readonly chain: number;
  /** A result of the same input and chain to run on from: its draws are kept, as many come to them, none are thrown away. */
  readonly from?: ChainResult;
  /** Sweeps thrown away first and then run; 200 and 500 where omitted. */
  readonly burnIn?: number;
  readonly sweeps?: number;
  /** Of the same input: what another chain worked out on this thread; changes nothing but the time. */
  readonly geometries?: RangeGeometries;
}

/** Plain arrays, so that a worker can hand it over. A row is a kept sweep. */
export interface ChainResult {
  readonly chain: number;
  /** How often the chain was run: 1, one more for each time it ran on. */
  readonly parts: number;
  /** Kept sweeps. */
  readonly kept: number;
  /** Each kept sweep's μ (log plants/m²), log s, log k and `correlationIndex`: place in RANGES_M, plus 13 for each ratio. */
  readonly mu: Float64Array;
  readonly logSill: Float64Array;
  readonly logK: Float64Array;
  readonly rangeIndex: Uint8Array;
  /** kept × cells: expected log density (plants/m²) given the sweep's field at the places. */
  readonly surface: Float32Array;
  /** Correlations × cells: variance about it as a share of s; NaN for those of which nothing was kept. */
  readonly variance: Float32Array;
  /** kept × 3 × coarse cells: log density of joint draws. */
  readonly draws: Float32Array;
  /** Where the chain stands. */
  readonly state: ChainState;
}

export interface ChainState {
  readonly mu: number;
  readonly logSill: number;
  readonly logK: number;
  readonly rangeIndex: number;
  readonly u: Float64Array;
}

export type LatentProgress = readonly [done: number, total: number];

const BURN_IN = 200;
const SWEEPS = 500;
const KEEP_EVERY = 5;
/** Sweeps between two signs of life. */
const TELL_EVERY = 5;

/**
 * Samples the field of log density behind counts: c_i ~ NB(mean e_i·exp(η_i), k), η = μ + √s·u, u a Gaussian field of
 * Matérn 5/2 correlation, by Pólya-gamma draws. The order of places changes nothing.
 * Yields sweeps done; ending the generator early leaves nothing behind.
 * @throws on no place, an effort not above 0, a count below 0, arrays that do not fit, a direction that is no number
 * @source methods-spatial §7; tests/reference/infested-area (key `exact`: each step, and three whole posteriors by a second sampler)
 * @cost a sweep n³/3; a range first visited cells × n²/2 + coarse³/6; 17 cells + 12 coarse bytes a kept sweep
 */
export function* latentChain(input: LatentInput, options: ChainOptions): Generator<LatentProgress, ChainResult, void> {
  refuseCells(input.cells);
  refuseDirection(input.direction);
  const before = options.from;
  const part = (before?.parts ?? 0) + 1;
  const random = stream(options.seed, 'latent counts', options.chain, part);
  const geometries = options.geometries ?? rangeGeometries(input);
  const sampler = new LatentSweep(geometries.places, (index) => geometries.ofPlaces(index), geometries.correlations);
  if (before) resume(sampler, before, options.chain);
  const burnIn = before ? 0 : (options.burnIn ?? BURN_IN);
  const sweeps = options.sweeps ?? SWEEPS;
  const record = new ChainRecord(sampler, geometries, Math.ceil(sweeps / KEEP_EVERY));
  const total = burnIn + sweeps;
  for (let done = 0; done < total; done++) {
    if (done % TELL_EVERY === 0) yield [done, total];
    sampler.sweep(random);
    if (done >= burnIn && (done - burnIn) % KEEP_EVERY === 0) record.keep(() => random.normal());
  }
  return record.result(options.chain, part, before);
}

export function rangeGeometries({ places, cells, direction }: LatentInput): RangeGeometries {
  return new RangeGeometries(modelPlaces(places), cells, direction);
}

function resume(sampler: LatentSweep, { chain, state }: ChainResult, asked: number): void {
  if (chain !== asked || state.u.length !== sampler.u.length)
    throw new RangeError(
      `latentChain: chain ${chain} of ${state.u.length} places cannot run on as chain ${asked} of ${sampler.u.length}`,
    );
  sampler.u.set(state.u);
  [sampler.mu, sampler.logSill, sampler.logK, sampler.rangeIndex] = [
    state.mu,
    state.logSill,
    state.logK,
    state.rangeIndex,
  ];
}

function refuseDirection(direction = 0): void {
  if (!Number.isFinite(direction))
    throw new RangeError(`latentChain: expected a direction in radians, got ${direction}`);
}

function refuseCells({ xM, yM, coarse }: ModelCells): void {
  const n = xM.length;
  if (n < 1 || yM.length !== n)
    throw new RangeError(`latentChain: expected at least one cell and as many y as x, got ${n} and ${yM.length}`);
  for (const cell of coarse)
    if (!(cell >= 0 && cell < n)) throw new RangeError(`latentChain: coarse cell ${cell} is none of ${n} cells`);
}
