import type { FlatMultiPolygon, FlatRing } from '../../../shared/geometry/types.ts';

/** Shapes and seeded numbers that the tests of geometry share. */

export function rectangle(x0: number, y0: number, x1: number, y1: number): FlatMultiPolygon {
  return [[ringOf(x0, y0, x1, y0, x1, y1, x0, y1)]];
}

export function ringOf(...coordinates: number[]): FlatRing {
  return Float64Array.from(coordinates);
}

/** A bent closed ring, counter-clockwise. */
export function bent(corners: number, radiusM: number, x0 = 0, y0 = 0, lobes = 5, depth = 0.2): FlatRing {
  const ring = new Float64Array(2 * corners);
  for (let i = 0; i < corners; i++) {
    const t = (2 * Math.PI * i) / corners;
    const r = radiusM * (1 + depth * Math.sin(lobes * t));
    ring[2 * i] = x0 + r * Math.cos(t);
    ring[2 * i + 1] = y0 + r * Math.sin(t);
  }
  return ring;
}

export function clockwise(ring: FlatRing): FlatRing {
  const turned = new Float64Array(ring.length);
  for (let i = 0; i < ring.length; i += 2) {
    turned[i] = ring[ring.length - 2 - i]!;
    turned[i + 1] = ring[ring.length - 1 - i]!;
  }
  return turned;
}

export function moved(ring: FlatRing, dx: number, dy: number): FlatRing {
  return ring.map((value, i) => value + (i % 2 === 0 ? dx : dy));
}

/** Numbers in [0, 1), the same in every run (a 32-bit linear congruential generator). */
export function numbers(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}
