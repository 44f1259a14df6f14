/**
 * Seeded draws without state shared by anybody: a counter goes through Philox-2×32-10, so that draw number n of a stream
 * depends on the stream's name and n alone. Tile order and the number of workers change nothing.
 */
import { lgamma, normalQuantile } from './special.ts';

export interface RandomStream {
  /** 32 random bits, 0 … 2³²−1. */
  bits(): number;
  /** Uniform, above 0 and below 1, 52 bits. */
  uniform(): number;
  /** A whole number 0 … below−1, without bias. @param below 1 … 2³² */
  integer(below: number): number;
  /** Standard normal, by the inverse distribution: one uniform a draw. */
  normal(): number;
  /** Gamma with scale 1. @param shape above 0 */
  gamma(shape: number): number;
  /** Poisson count. @param mean not below 0 */
  poisson(mean: number): number;
}

/** The halves of 0xD256D193. */
const MULTIPLIER_LOW = 0xd193;
const MULTIPLIER_HIGH = 0xd256;
const WEYL = 0x9e3779b9;
const ROUNDS = 10;

/**
 * Two random words from a counter and a key.
 * @param out where the two words go, as unsigned 32 bit
 * @source Salmon, Moraes, Dror & Shaw 2011, "Parallel random numbers: as easy as 1, 2, 3", SC'11 (memory); known answers in tests/unit/statistics/random.test.ts
 */
export function philox2x32(counter0: number, counter1: number, key: number, out: Uint32Array): void {
  let left = counter0;
  let right = counter1;
  let round = key;
  for (let i = 0; i < ROUNDS; i++) {
    // high and low word of left × 0xD256D193 by 16-bit halves: no sum passes 2³², since 0xffff² + 0xffff does not
    const a = left & 0xffff;
    const b = left >>> 16;
    const low = Math.imul(a, MULTIPLIER_LOW);
    const middle = (Math.imul(b, MULTIPLIER_LOW) + (low >>> 16)) | 0;
    const other = (Math.imul(a, MULTIPLIER_HIGH) + (middle & 0xffff)) | 0;
    const high = (Math.imul(b, MULTIPLIER_HIGH) + (middle >>> 16) + (other >>> 16)) | 0;
    const product = (other << 16) | (low & 0xffff);
    left = high ^ round ^ right;
    right = product;
    round = (round + WEYL) | 0;
  }
  out[0] = left;
  out[1] = right;
}

/** Mixes one word into a 32-bit hash. @source MurmurHash3, A. Appleby (public domain; memory) */
function mix(hash: number, word: number): number {
  let k = Math.imul(word, 0xcc9e2d51);
  k = Math.imul((k << 15) | (k >>> 17), 0x1b873593);
  const h = hash ^ k;
  return (Math.imul((h << 13) | (h >>> 19), 5) + 0xe6546b64) | 0;
}

function finish(hash: number): number {
  let h = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return h ^ (h >>> 16);
}

function hashName(seed: number, parts: readonly (string | number)[], start: number): number {
  let hash = mix(mix(start, seed | 0), Math.floor(seed / 4294967296));
  for (const part of parts) {
    const text = String(part);
    // kind and length first: ('ab', 'c') and ('a', 'bc'), 1 and '1' are different names
    hash = mix(hash, (text.length << 1) | (typeof part === 'number' ? 1 : 0));
    for (let i = 0; i < text.length; i++) hash = mix(hash, text.charCodeAt(i));
  }
  return finish(hash);
}

/**
 * A stream of draws for one purpose.
 * @param seed the farm's seed, a whole number
 * @param parts what the draws are for: step, scope, tile, draw; the same name gives the same draws, in every process
 */
export function stream(seed: number, ...parts: readonly (string | number)[]): RandomStream {
  if (!Number.isSafeInteger(seed)) throw new RangeError(`stream: expected a whole number as seed, got ${seed}`);
  const key = hashName(seed, parts, 0x2545f491);
  const name = hashName(seed, parts, 0x7feb352d);
  const words = new Uint32Array(2);
  let block = 0;
  let left = 0;

  const bits = (): number => {
    if (left === 0) {
      philox2x32(block, name, key, words);
      block = (block + 1) | 0;
      left = 2;
    }
    return words[2 - left--]!;
  };
  // 26 + 26 bits and a half step: never 0, never 1
  const uniform = (): number => ((bits() >>> 6) * 67108864 + (bits() >>> 6) + 0.5) / 4503599627370496;
  const normal = (): number => normalQuantile(uniform());
  const integer = (below: number): number => {
    const limit = 4294967296 - (4294967296 % below);
    let word = bits();
    while (word >= limit) word = bits();
    return word % below;
  };
  const gamma = (shape: number): number => {
    if (!(shape > 0)) throw new RangeError(`gamma: expected a shape above 0, got ${shape}`);
    return shape < 1 ? gammaFromOne(shape + 1) * Math.exp(Math.log(uniform()) / shape) : gammaFromOne(shape);
  };
  /** Marsaglia & Tsang 2000, ACM TOMS 26:363–372 (memory), shape not below 1. */
  const gammaFromOne = (shape: number): number => {
    const d = shape - 1 / 3;
    const c = 1 / Math.sqrt(9 * d);
    for (;;) {
      const z = normal();
      const root = 1 + c * z;
      if (root <= 0) continue;
      const v = root * root * root;
      const u = uniform();
      // the squeeze accepts nothing that the exact bound would not, and spares two logarithms
      if (u < 1 - 0.0331 * z * z * z * z || Math.log(u) < 0.5 * z * z + d - d * v + d * Math.log(v)) return d * v;
    }
  };
  const poisson = (mean: number): number => {
    if (!(mean >= 0) || mean === Infinity) throw new RangeError(`poisson: expected a mean not below 0, got ${mean}`);
    return mean < 30 ? poissonByInversion(mean, uniform()) : poissonByRejection(mean, uniform);
  };
  return { bits, uniform, integer, normal, gamma, poisson };
}

function poissonByInversion(mean: number, u: number): number {
  let term = Math.exp(-mean);
  let sum = term;
  let count = 0;
  while (u > sum && term > 0) {
    count++;
    term *= mean / count;
    sum += term;
  }
  return count;
}

/** Transformed rejection with squeeze. @source W. Hörmann 1993, Insurance: Mathematics and Economics 12:39–45, algorithm PTRS (memory) */
function poissonByRejection(mean: number, uniform: () => number): number {
  const b = 0.931 + 2.53 * Math.sqrt(mean);
  const a = -0.059 + 0.02483 * b;
  const inverseAlpha = 1.1239 + 1.1328 / (b - 3.4);
  const squeeze = 0.9277 - 3.6224 / (b - 2);
  const logMean = Math.log(mean);
  for (;;) {
    const u = uniform() - 0.5;
    const v = uniform();
    const us = 0.5 - Math.abs(u);
    const count = Math.floor(((2 * a) / us + b) * u + mean + 0.43);
    if (us >= 0.07 && v <= squeeze) return count;
    if (count < 0 || (us < 0.013 && v > us)) continue;
    if (Math.log((v * inverseAlpha) / (a / (us * us) + b)) <= count * logMean - mean - lgamma(count + 1)) return count;
  }
}
