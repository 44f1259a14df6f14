/**
 * Flags 11–14: too little newly cut ground, and yields that fall out of the field's or of their neighbours' values.
 * @source methods-season §1.1; V19 (protocol with a global screen and local Moran), Anselin 1995; tests/reference/harvest-path (cleaning)
 */
import type { CleaningLimits } from './clean-log.ts';
import { medianOf, medianOfFirst } from '../statistics/median.ts';

/** To sigma for a normal distribution. */
const MAD_TO_SD = 1.4826;
const FEWEST_NEIGHBOURS = 5;

/** Whether so little of the swath was fresh that its yield is noise; the limit itself is not flagged. */
export function isOverlap(newAreaM2: number, swathAreaM2: number, limits: CleaningLimits): boolean {
  return newAreaM2 / swathAreaM2 < limits.overlapFraction - 1e-9;
}

export interface GlobalStatistics {
  readonly median: number;
  /** 1.4826 × median absolute deviation. */
  readonly madScaled: number;
  readonly used: number;
}

/** Median and scaled MAD of the yields that carry no flag at all; null where there are none. */
export function globalStatistics(yields: ArrayLike<number>, flags: ArrayLike<number>): GlobalStatistics | null {
  const clean = new Float64Array(yields.length);
  let used = 0;
  for (let k = 0; k < yields.length; k++) if (flags[k] === 0 && Number.isFinite(yields[k]!)) clean[used++] = yields[k]!;
  if (used === 0) return null;
  const values = clean.slice(0, used);
  const median = medianOf(values);
  for (let k = 0; k < used; k++) values[k] = Math.abs(values[k]! - median);
  return { median, madScaled: MAD_TO_SD * medianOf(values), used };
}

/** Whether a yield lies more than k scaled MADs from the median; every usable record is judged, flagged or not. */
export function isGlobalOutlier(value: number, statistics: GlobalStatistics, limits: CleaningLimits): boolean {
  const { median, madScaled } = statistics;
  return madScaled > 0 && Math.abs(value - median) > limits.globalK * madScaled;
}

export interface LocalStatistics {
  /** Local Moran's I of each value; NaN without neighbours or value. */
  readonly moran: Float64Array;
  /** I as a standard normal under randomisation. */
  readonly moranZ: Float64Array;
  /** (value − median of the neighbours) / (1.4826 MAD of them); NaN with fewer than five. */
  readonly localZ: Float64Array;
}

/**
 * Local Moran with row-standardised weights and the robust local z beside it: Moran misses a spike of the same sign as
 * its surroundings (a high spike on high ground). Neighbours and moments come from the reference values alone; every
 * value is judged.
 * I_i = z_i Σ w_ij z_j / m₂; E = −w_i/(n − 1); variance w_i(2)(n − b₂)/(n − 1) + 2w_i(kh)(2b₂ − n)/((n − 1)(n − 2)) − E².
 * @param reference 1 where a value may serve as neighbour
 * @param radiusM neighbours lie within it
 * @returns progress by values done, then the statistics
 * @cost O(n × neighbours × log neighbours)
 */
export function* localStatistics(
  xM: ArrayLike<number>,
  yM: ArrayLike<number>,
  values: ArrayLike<number>,
  reference: ArrayLike<number>,
  radiusM: number,
): Generator<readonly [number, number], LocalStatistics, void> {
  const count = values.length;
  const moran = new Float64Array(count).fill(NaN);
  const moranZ = new Float64Array(count).fill(NaN);
  const localZ = new Float64Array(count).fill(NaN);

  let n = 0;
  let sum = 0;
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let k = 0; k < count; k++) {
    if (reference[k] !== 1) continue;
    n++;
    sum += values[k]!;
    minX = Math.min(minX, xM[k]!);
    maxX = Math.max(maxX, xM[k]!);
    minY = Math.min(minY, yM[k]!);
    maxY = Math.max(maxY, yM[k]!);
  }
  if (n < 3) return { moran, moranZ, localZ };
  const mean = sum / n;
  let m2 = 0;
  let m4 = 0;
  for (let k = 0; k < count; k++) {
    if (reference[k] !== 1) continue;
    const z2 = (values[k]! - mean) ** 2;
    m2 += z2;
    m4 += z2 * z2;
  }
  m2 /= n;
  m4 /= n;
  const b2 = m4 / (m2 * m2);

  // Reference values filed in squares of one radius, as packed coordinates beside their values.
  const columns = Math.max(1, Math.min(4096, Math.ceil((maxX - minX) / radiusM)));
  const rows = Math.max(1, Math.min(4096, Math.ceil((maxY - minY) / radiusM)));
  const squareX = Math.max(radiusM, (maxX - minX) / columns);
  const squareY = Math.max(radiusM, (maxY - minY) / rows);
  const columnOf = (x: number) => Math.floor((x - minX) / squareX);
  const rowOf = (y: number) => Math.floor((y - minY) / squareY);
  const squareOf = (k: number) => Math.min(rows - 1, rowOf(yM[k]!)) * columns + Math.min(columns - 1, columnOf(xM[k]!));
  const starts = new Uint32Array(columns * rows + 1);
  for (let k = 0; k < count; k++) if (reference[k] === 1) starts[squareOf(k) + 1]!++;
  for (let s = 0; s < columns * rows; s++) starts[s + 1]! += starts[s]!;
  const next = starts.slice(0, columns * rows);
  const filedX = new Float64Array(n);
  const filedY = new Float64Array(n);
  const filed = new Float64Array(n);
  const filedId = new Uint32Array(n);
  for (let k = 0; k < count; k++) {
    if (reference[k] !== 1) continue;
    const at = next[squareOf(k)]!++;
    filedX[at] = xM[k]!;
    filedY[at] = yM[k]!;
    filed[at] = values[k]!;
    filedId[at] = k;
  }

  let neighbours = new Float64Array(64);
  const radius2 = radiusM * radiusM;
  for (let k = 0; k < count; k++) {
    if (k % 4096 === 0) yield [k, count];
    const value = values[k]!;
    if (!Number.isFinite(value)) continue;
    const x = xM[k]!;
    const y = yM[k]!;
    const column = columnOf(x);
    const row = rowOf(y);
    let found = 0;
    let total = 0;
    for (let r = Math.max(0, row - 1); r <= Math.min(rows - 1, row + 1); r++) {
      const from = starts[r * columns + Math.min(columns, Math.max(0, column - 1))]!;
      const to = starts[r * columns + Math.min(columns, Math.max(0, column + 2))]!;
      // Room for all of them, so that each is written down and only those within the radius are kept.
      if (found + to - from > neighbours.length) neighbours = widened(neighbours, found + to - from);
      for (let at = from; at < to; at++) {
        const dx = filedX[at]! - x;
        const dy = filedY[at]! - y;
        const other = filed[at]!;
        const near = Number(dx * dx + dy * dy <= radius2) & Number(filedId[at] !== k);
        neighbours[found] = other;
        found += near;
        total += near * other;
      }
    }
    if (found === 0) continue;
    // Row-standardised: w_i = 1, w_i(2) = 1/found.
    const own = value - mean;
    const index = (own * (total / found - mean)) / m2;
    const w2 = 1 / found;
    const expected = -1 / (n - 1);
    const variance = (w2 * (n - b2)) / (n - 1) + ((1 - w2) * (2 * b2 - n)) / ((n - 1) * (n - 2)) - expected * expected;
    moran[k] = index;
    moranZ[k] = (index - expected) / Math.sqrt(variance);
    if (found < FEWEST_NEIGHBOURS) continue;
    const median = medianOfFirst(neighbours, found);
    for (let i = 0; i < found; i++) neighbours[i] = Math.abs(neighbours[i]! - median);
    localZ[k] = (value - median) / (MAD_TO_SD * medianOfFirst(neighbours, found));
  }
  return { moran, moranZ, localZ };
}

function widened(values: Float64Array, atLeast: number): Float64Array<ArrayBuffer> {
  const wider = new Float64Array(2 * atLeast);
  wider.set(values);
  return wider;
}

/** One-sided 5 % point of the standard normal. */
const Z_05 = -1.6448536269514722;

/** Robust z above the limit, or local Moran negative with one-sided p < 0.05. */
export function isLocalOutlier({ moran, moranZ, localZ }: LocalStatistics, k: number, limits: CleaningLimits): boolean {
  return Math.abs(localZ[k]!) > limits.localZ || (moran[k]! < 0 && moranZ[k]! < Z_05);
}
