/**
 * Rasters over a field: cell (0, 0) is south-west, index = row × columns + column, values stand at cell centres.
 */
import type { Bounds, FlatMultiPolygon, Grid, GridShape } from './types.ts';

/**
 * A grid that covers a box, its origin on whole multiples of the cell, so that two grids of one cell size line up.
 * @param bounds min x, min y, max x, max y; metres
 * @param cellM side of a cell; m; above 0
 */
export function gridOver(bounds: Bounds, cellM: number): GridShape {
  const [minX, minY, maxX, maxY] = bounds;
  if (!(cellM > 0) || !(minX <= maxX && minY <= maxY) || !Number.isFinite(maxX - minX + maxY - minY)) {
    throw new RangeError(`gridOver: expected a box and a cell above 0 m, got ${bounds.join(', ')} and ${cellM}`);
  }
  const column0 = Math.floor(minX / cellM);
  const row0 = Math.floor(minY / cellM);
  return {
    x0M: column0 * cellM,
    y0M: row0 * cellM,
    columns: Math.max(1, Math.ceil(maxX / cellM) - column0),
    rows: Math.max(1, Math.ceil(maxY / cellM) - row0),
    cellM,
  };
}

/** The cell that holds a place, or −1 outside the grid. Left and lower edges belong to the cell. */
export function cellIndexAt(grid: GridShape, x: number, y: number): number {
  const column = Math.floor((x - grid.x0M) / grid.cellM);
  const row = Math.floor((y - grid.y0M) / grid.cellM);
  if (!(column >= 0 && column < grid.columns && row >= 0 && row < grid.rows)) return -1;
  return row * grid.columns + column;
}

/** The square block of `side` × `side` cells that holds a cell: blocks are numbered row by row, ⌈columns / side⌉ in each. */
export function blockOf({ columns }: GridShape, side: number, cell: number): number {
  const column = cell % columns;
  const row = (cell - column) / columns;
  return Math.floor(row / side) * Math.ceil(columns / side) + Math.floor(column / side);
}

/** Centre of a cell, metres. */
export function cellCentre(grid: GridShape, index: number): [x: number, y: number] {
  const column = index % grid.columns;
  const row = (index - column) / grid.columns;
  return [grid.x0M + (column + 0.5) * grid.cellM, grid.y0M + (row + 0.5) * grid.cellM];
}

/**
 * 1 for each cell whose centre lies in the polygon, 0 for the others; edges as in `indexPolygon`.
 * @cost O(cells + rows × edges a row crosses)
 */
export function maskInside(grid: GridShape, polygon: FlatMultiPolygon): Uint8Array {
  const mask = new Uint8Array(grid.columns * grid.rows);
  const crossings: number[][] = Array.from({ length: grid.rows }, () => []);
  for (const rings of polygon) {
    for (const ring of rings) {
      for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2) {
        let [x0, y0, x1, y1] = [ring[j]!, ring[j + 1]!, ring[i]!, ring[i + 1]!];
        if (y0 === y1) continue;
        if (y0 > y1) [x0, y0, x1, y1] = [x1, y1, x0, y0];
        const slope = (x1 - x0) / (y1 - y0);
        const first = Math.max(0, Math.ceil((y0 - grid.y0M) / grid.cellM - 0.5) - 1);
        for (let row = first; row < grid.rows; row++) {
          const y = grid.y0M + (row + 0.5) * grid.cellM;
          if (y < y0) continue;
          if (y >= y1) break;
          crossings[row]!.push(x0 + (y - y0) * slope);
        }
      }
    }
  }
  for (let row = 0; row < grid.rows; row++) {
    const at = crossings[row]!.sort((a, b) => a - b);
    let passed = 0;
    for (let column = 0; column < grid.columns && passed < at.length; column++) {
      const x = grid.x0M + (column + 0.5) * grid.cellM;
      while (passed < at.length && at[passed]! <= x) passed++;
      if (passed % 2 === 1) mask[row * grid.columns + column] = 1;
    }
  }
  return mask;
}

/**
 * Area of each cell that lies in the polygon, m²: exact up to rounding, by summing each edge's trapezoids cell by cell.
 * The sum is the polygon's area where the grid covers it; what lies outside the grid is left out.
 * Wants the winding of the contract: outer rings counter-clockwise, holes clockwise.
 * @cost O(cells + cells that edges run through)
 */
export function cellAreasInside(grid: GridShape, polygon: FlatMultiPolygon): Float64Array {
  const { columns, rows } = grid;
  // In cells: `part` is what an edge leaves to its east within its own cell, `whole` passes to every cell further east.
  const part = new Float64Array(columns * rows);
  const whole = new Float64Array((columns + 1) * rows);

  function addWithinRow(row: number, x0: number, x1: number, fall: number): void {
    if (fall === 0) return;
    const west = Math.min(x0, x1);
    const east = Math.max(x0, x1);
    if (west >= columns) return;
    const base = row * columns;
    const first = Math.max(0, Math.floor(west));
    const last = Math.min(columns - 1, Math.floor(east));
    if (west < 0) whole[row * (columns + 1)]! += east <= 0 || east === west ? fall : (fall * -west) / (east - west);
    if (east <= 0) return;
    for (let column = first; column <= last; column++) {
      const from = Math.max(west, column);
      const to = Math.min(east, column + 1);
      const share = east > west ? (fall * (to - from)) / (east - west) : fall;
      part[base + column]! += share * (column + 1 - (from + to) / 2);
      whole[row * (columns + 1) + column + 1]! += share;
    }
  }

  for (const rings of polygon) {
    for (const ring of rings) {
      for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2) {
        const x0 = (ring[j]! - grid.x0M) / grid.cellM;
        const y0 = (ring[j + 1]! - grid.y0M) / grid.cellM;
        const x1 = (ring[i]! - grid.x0M) / grid.cellM;
        const y1 = (ring[i + 1]! - grid.y0M) / grid.cellM;
        if (y0 === y1) continue;
        const low = Math.max(0, Math.min(y0, y1));
        const high = Math.min(rows, Math.max(y0, y1));
        const slope = (x1 - x0) / (y1 - y0);
        const sign = y1 < y0 ? 1 : -1; // a falling edge has the inside to its east
        for (let row = Math.floor(low); row < high; row++) {
          const from = Math.max(low, row);
          const to = Math.min(high, row + 1);
          addWithinRow(row, x0 + (from - y0) * slope, x0 + (to - y0) * slope, sign * (to - from));
        }
      }
    }
  }
  const cellM2 = grid.cellM * grid.cellM;
  for (let row = 0; row < rows; row++) {
    let carried = 0;
    for (let column = 0; column < columns; column++) {
      carried += whole[row * (columns + 1) + column]!;
      const share = carried + part[row * columns + column]!;
      part[row * columns + column] = share < 1e-12 ? 0 : Math.min(1, share) * cellM2;
    }
  }
  return part;
}

/**
 * Value between the four nearest cell centres, linear in x and in y; beyond the outer centres the outer value holds.
 * @returns NaN outside the grid, and where a cell that counts is unknown
 */
export function bilinear(grid: Grid, x: number, y: number): number {
  const { columns, rows, values } = grid;
  const u = (x - grid.x0M) / grid.cellM;
  const v = (y - grid.y0M) / grid.cellM;
  if (!(u >= 0 && u <= columns && v >= 0 && v <= rows)) return NaN;
  const cu = Math.min(columns - 1, Math.max(0, u - 0.5));
  const cv = Math.min(rows - 1, Math.max(0, v - 0.5));
  const column = Math.min(columns - 1, Math.floor(cu));
  const row = Math.min(rows - 1, Math.floor(cv));
  const fx = cu - column;
  const fy = cv - row;
  let sum = 0;
  for (let dy = 0; dy <= 1; dy++) {
    const wy = dy === 0 ? 1 - fy : fy;
    if (wy === 0) continue;
    for (let dx = 0; dx <= 1; dx++) {
      const wx = dx === 0 ? 1 - fx : fx;
      if (wx !== 0) sum += wx * wy * values[(row + dy) * columns + column + dx]!;
    }
  }
  return sum;
}
