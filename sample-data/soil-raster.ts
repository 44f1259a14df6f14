/** A field's ground as a raster of 0.5 m: outside, standing, cut. Ten by ten of its cells make one of the 5 m truth. */
import { boxOf, crossings, type Ring } from './outline.ts';

export const FINE_M = 0.5;
export const CELL_M = 5;
const PER_CELL = CELL_M / FINE_M;

export interface Grid {
  readonly x0M: number;
  readonly y0M: number;
  readonly columns: number;
  readonly rows: number;
  readonly cellM: number;
}

export interface GroundRaster {
  readonly grid: Grid;
  readonly fineColumns: number;
  readonly fineRows: number;
  /** 0 outside, 1 standing, 2 cut. */
  readonly state: Uint8Array;
  /** m² of the field in each 5 m cell. */
  readonly insideM2: Float64Array;
}

/** @param rings All rings of the field, any number of parts. @cost O(area / 0.25 m²) */
export function rasterOf(rings: readonly Ring[]): GroundRaster {
  const box = boxOf(rings);
  const x0M = Math.floor(box.minX / CELL_M) * CELL_M;
  const y0M = Math.floor(box.minY / CELL_M) * CELL_M;
  const columns = Math.ceil((box.maxX - x0M) / CELL_M);
  const rows = Math.ceil((box.maxY - y0M) / CELL_M);
  const fineColumns = columns * PER_CELL;
  const fineRows = rows * PER_CELL;
  const state = new Uint8Array(fineColumns * fineRows);
  const insideM2 = new Float64Array(columns * rows);
  for (let j = 0; j < fineRows; j++) {
    const met = crossings(rings, y0M + (j + 0.5) * FINE_M);
    const cellRow = Math.floor(j / PER_CELL) * columns;
    for (let k = 0; k + 1 < met.length; k += 2) {
      const first = Math.max(0, Math.ceil((met[k]! - x0M) / FINE_M - 0.5));
      const last = Math.min(fineColumns - 1, Math.ceil((met[k + 1]! - x0M) / FINE_M - 0.5) - 1);
      for (let i = first; i <= last; i++) {
        state[j * fineColumns + i] = 1;
        insideM2[cellRow + Math.floor(i / PER_CELL)]! += FINE_M * FINE_M;
      }
    }
  }
  return { grid: { x0M, y0M, columns, rows, cellM: CELL_M }, fineColumns, fineRows, state, insideM2 };
}
