/** A grid as pixels: one a cell, north up. */
import { maskInside } from '../../shared/geometry/grid.ts';
import { createFrame } from '../../shared/geometry/local-frame.ts';
import type { FlatMultiPolygon, GridShape, LonLat, MultiPolygon } from '../../shared/geometry/types.ts';
import type { MapGrid } from '../state/answers.ts';
import { channelsOf } from './ramp.ts';

export interface SurfaceLook {
  /** null: nothing is drawn there, and the hatching beneath shows. */
  color(value: number): string | null;
  /** Whether a cell is shown in full; else it stays faint. */
  isFull(value: number): boolean;
  /** Whether the cell is shown yet. */
  isShown(cell: number): boolean;
}

const FAINT = 36;

/**
 * RGBA of every cell. Cells just outside of the field take a neighbor's value, so that a drawing clipped by the boundary has no gaps
 * at its edge.
 * @param inside 1 where the middle of a cell lies in the field
 */
export function surfacePixels({ grid, values }: MapGrid, inside: Uint8Array, look: SurfaceLook): Uint8ClampedArray {
  const { columns, rows } = grid;
  const pixels = new Uint8ClampedArray(4 * columns * rows);
  const known = new Map<string, readonly [number, number, number]>();
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const cell = inside[row * columns + column] === 1 ? row * columns + column : besides(grid, inside, column, row);
      if (cell < 0 || !look.isShown(cell)) continue;
      const value = values[cell]!;
      const color = Number.isNaN(value) ? null : look.color(value);
      if (color === null) continue;
      const rgb = known.get(color) ?? channelsOf(color);
      known.set(color, rgb);
      const at = 4 * ((rows - 1 - row) * columns + column);
      [pixels[at], pixels[at + 1], pixels[at + 2]] = rgb;
      pixels[at + 3] = look.isFull(value) ? 255 : FAINT;
    }
  }
  return pixels;
}

/** A cell of the field next to one outside; −1 where there is none. */
function besides({ columns, rows }: GridShape, inside: Uint8Array, column: number, row: number): number {
  for (let y = Math.max(0, row - 1); y <= Math.min(rows - 1, row + 1); y++) {
    for (let x = Math.max(0, column - 1); x <= Math.min(columns - 1, column + 1); x++) {
      if (inside[y * columns + x] === 1) return y * columns + x;
    }
  }
  return -1;
}

/** Metres of the frame, closing corners dropped; winding as in the degrees. */
export function inFrame(origin: LonLat, area: MultiPolygon): FlatMultiPolygon {
  const frame = createFrame(origin);
  return area.map((rings) =>
    rings.map((ring) => Float64Array.from(ring.slice(0, -1).flatMap(([lon, lat]) => frame.toLocal(lon, lat)))),
  );
}

export function insideOf({ grid, origin }: MapGrid, area: MultiPolygon): Uint8Array {
  return maskInside(grid, inFrame(origin, area));
}

type Corners = [[number, number], [number, number], [number, number], [number, number]];

/** North-west, north-east, south-east, south-west; degrees. */
export function cornersOf({ origin, grid: { x0M, y0M, columns, rows, cellM } }: MapGrid): Corners {
  const frame = createFrame(origin);
  const [x1M, y1M] = [x0M + columns * cellM, y0M + rows * cellM];
  return [frame.toLonLat(x0M, y1M), frame.toLonLat(x1M, y1M), frame.toLonLat(x1M, y0M), frame.toLonLat(x0M, y0M)];
}
