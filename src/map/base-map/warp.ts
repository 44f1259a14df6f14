/** A picture in any projection, drawn anew in Mercator, so that its four corners place it. */
import type { Bounds, LonLat } from '../../../shared/geometry/types.ts';
import { lonLatOf, mercatorOf } from '../mercator.ts';

export interface Pixels {
  readonly width: number;
  readonly height: number;
  readonly rgba: Uint8ClampedArray;
}

/** Cells of the lattice whose corners are transformed exactly; between them the way is taken as straight. */
const LATTICE = 32;

/**
 * @param toPixel column and row of the picture at a place (fractions within a pixel); NaN where it has none
 * @param bounds west, south, east, north of the drawing, degrees
 * @param longest pixels of its longer side
 */
export function warpToMercator(
  picture: Pixels,
  toPixel: (at: LonLat) => readonly [column: number, row: number],
  bounds: Bounds,
  longest: number,
): Pixels {
  const [west, north] = mercatorOf([bounds[0], bounds[3]]);
  const [east, south] = mercatorOf([bounds[2], bounds[1]]);
  const perPixel = Math.max(east - west, south - north) / longest;
  const width = Math.max(1, Math.round((east - west) / perPixel));
  const height = Math.max(1, Math.round((south - north) / perPixel));
  const nodes = Array.from({ length: (LATTICE + 1) ** 2 }, (_, k) => {
    const [u, v] = [(k % (LATTICE + 1)) / LATTICE, Math.floor(k / (LATTICE + 1)) / LATTICE];
    return toPixel(lonLatOf([west + u * (east - west), north + v * (south - north)]));
  });
  const from = new Uint32Array(picture.rgba.buffer, picture.rgba.byteOffset, picture.width * picture.height);
  const to = new Uint32Array(width * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const [column, row] = between(nodes, ((x + 0.5) / width) * LATTICE, ((y + 0.5) / height) * LATTICE);
      if (!(column >= 0 && column < picture.width && row >= 0 && row < picture.height)) continue;
      to[y * width + x] = from[Math.floor(row) * picture.width + Math.floor(column)]!;
    }
  }
  return { width, height, rgba: new Uint8ClampedArray(to.buffer) };
}

function between(nodes: readonly (readonly [number, number])[], u: number, v: number): [number, number] {
  const [i, j] = [Math.min(LATTICE - 1, Math.floor(u)), Math.min(LATTICE - 1, Math.floor(v))];
  const [s, t] = [u - i, v - j];
  const at = (dj: number, di: number) => nodes[(j + dj) * (LATTICE + 1) + i + di]!;
  const [a, b, c, d] = [at(0, 0), at(0, 1), at(1, 0), at(1, 1)];
  const mix = (k: 0 | 1) => (1 - t) * ((1 - s) * a[k] + s * b[k]) + t * ((1 - s) * c[k] + s * d[k]);
  return [mix(0), mix(1)];
}
