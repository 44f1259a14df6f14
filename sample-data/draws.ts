/**
 * Numbers drawn by counting: the n-th draw of a named stream is a hash of seed, name and n. 32-bit integer arithmetic only, so
 * the same everywhere, and one part of the farm can change without shifting the draws of another.
 * @source Mixing: the 32-bit finalizer of MurmurHash3 (memory); normal by Box and Muller; gamma by Marsaglia and Tsang 2000 (memory).
 */
import { cos, exp, log, PI } from './elementary.ts';

export const SEED = 20260917;

function mix(value: number): number {
  let h = value | 0;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return h ^ (h >>> 16);
}

/** A 32-bit number for a name. */
export function streamOf(name: string): number {
  let h = 0x811c9dc5 ^ SEED;
  for (let i = 0; i < name.length; i++) h = Math.imul(h ^ name.charCodeAt(i), 0x01000193);
  return mix(h);
}

/** Draw `n` of a stream as a share, 0 < share < 1. */
export function shareAt(stream: number, n: number): number {
  return ((mix(mix(stream ^ Math.imul(n | 0, 0x9e3779b1)) + stream) >>> 0) + 0.5) / 4294967296;
}

export class Draws {
  private n = 0;
  private readonly stream: number;
  private spare: number | null = null;

  constructor(name: string) {
    this.stream = streamOf(name);
  }

  share(): number {
    return shareAt(this.stream, this.n++);
  }

  between(low: number, high: number): number {
    return low + (high - low) * this.share();
  }

  /** A whole number, low … high, both in. */
  whole(low: number, high: number): number {
    return low + Math.floor(this.share() * (high - low + 1));
  }

  normal(): number {
    if (this.spare !== null) {
      const value = this.spare;
      this.spare = null;
      return value;
    }
    const radius = Math.sqrt(-2 * log(this.share()));
    const angle = 2 * PI * this.share();
    this.spare = radius * cos(angle - PI / 2);
    return radius * cos(angle);
  }

  gamma(shape: number): number {
    if (shape < 1) {
      const power = this.share();
      return this.gamma(shape + 1) * exp(log(power) / shape);
    }
    const d = shape - 1 / 3;
    const c = 1 / Math.sqrt(9 * d);
    for (;;) {
      const x = this.normal();
      const v = (1 + c * x) * (1 + c * x) * (1 + c * x);
      if (v <= 0) continue;
      if (log(this.share()) < 0.5 * x * x + d - d * v + d * log(v)) return d * v;
    }
  }

  poisson(mean: number): number {
    let count = 0;
    let left = mean;
    for (; left > 30; left -= 30) count += this.poisson(30);
    const limit = exp(-left);
    for (let product = this.share(); product > limit; product *= this.share()) count++;
    return count;
  }

  /** A count with the given mean whose places differ: gamma with shape k, then Poisson. */
  clumpedCount(mean: number, k: number): number {
    return mean <= 0 ? 0 : this.poisson((this.gamma(k) * mean) / k);
  }
}

/** Smooth surface between −1 and 1 whose highs and lows lie about `waveM` apart: values at lattice corners, eased between. */
export function smoothNoise(stream: number, x: number, y: number, waveM: number): number {
  const gx = x / waveM;
  const gy = y / waveM;
  const ix = Math.floor(gx);
  const iy = Math.floor(gy);
  const ex = ease(gx - ix);
  const ey = ease(gy - iy);
  const south = corner(stream, ix, iy) * (1 - ex) + corner(stream, ix + 1, iy) * ex;
  const north = corner(stream, ix, iy + 1) * (1 - ex) + corner(stream, ix + 1, iy + 1) * ex;
  return south * (1 - ey) + north * ey;
}

function corner(stream: number, ix: number, iy: number): number {
  return 2 * shareAt(stream, Math.imul(ix, 73856093) ^ Math.imul(iy, 19349663)) - 1;
}

function ease(t: number): number {
  return t * t * t * (t * (6 * t - 15) + 10);
}
