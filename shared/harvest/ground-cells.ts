/** Ground that a person points at, as cells of a field's map; and how far the other cells lie from it. */
import { maskInside } from '../geometry/grid.ts';
import type { FlatMultiPolygon, GridShape } from '../geometry/types.ts';

/** Ground about a place, or inside an area; metres of the field's frame. */
export type PointedGround =
  { readonly xM: number; readonly yM: number; readonly radiusM: number } | { readonly area: FlatMultiPolygon };

/**
 * The cells of the field whose middle lies in the ground; of a place between all middles, the cell that holds it.
 * @param inside 1 where a cell is the field's
 * @returns 1 in the ground, 0 elsewhere; all 0 where it does not touch the field
 */
export function groundCells(ground: PointedGround, grid: GridShape, inside: Uint8Array): Float64Array {
  if ('area' in ground) {
    const within = maskInside(grid, ground.area);
    return Float64Array.from(within, (one, cell) => one & inside[cell]!);
  }
  const { xM, yM, radiusM } = ground;
  const cells = Float64Array.from(inside, (is, cell) => {
    const [x, y] = middleOf(grid, cell);
    return is === 1 && Math.hypot(x - xM, y - yM) <= radiusM ? 1 : 0;
  });
  if (cells.includes(1)) return cells;
  const column = Math.floor((xM - grid.x0M) / grid.cellM);
  const row = Math.floor((yM - grid.y0M) / grid.cellM);
  const isOnGrid = column >= 0 && row >= 0 && column < grid.columns && row < grid.rows;
  const at = row * grid.columns + column;
  if (isOnGrid && inside[at] === 1) cells[at] = 1;
  return cells;
}

/**
 * From the middle of each cell to that of the nearest cell of the ground, metres; 0 inside it, Infinity where there is none. Exact: up and
 * down each column first, then along each row by the lower envelope of the parabolas of its columns.
 * @source P. F. Felzenszwalb, D. P. Huttenlocher, Distance transforms of sampled functions, Theory of Computing 8 (2012) 415–428
 * @cost O(cells)
 */
export function distancesFrom(ground: Float64Array, grid: GridShape): Float64Array {
  const { columns, rows, cellM } = grid;
  const squares = new Float64Array(columns * rows);
  for (let column = 0; column < columns; column++) squaresInColumn(ground, squares, column, columns, rows);
  const vertex = new Int32Array(columns);
  const from = new Float64Array(columns + 1);
  const row2 = new Float64Array(columns);
  for (let row = 0; row < rows; row++) {
    const at = row * columns;
    row2.set(squares.subarray(at, at + columns));
    lowerEnvelope(row2, vertex, from, squares.subarray(at, at + columns));
  }
  return squares.map((square) => Math.sqrt(square) * cellM);
}

/** Squares of the steps to the nearest cell of the ground in the same column. */
function squaresInColumn(
  ground: Float64Array,
  squares: Float64Array,
  column: number,
  columns: number,
  rows: number,
): void {
  let steps = Infinity;
  for (let row = 0; row < rows; row++) {
    const cell = row * columns + column;
    steps = ground[cell] === 1 ? 0 : steps + 1;
    squares[cell] = steps * steps;
  }
  steps = Infinity;
  for (let row = rows - 1; row >= 0; row--) {
    const cell = row * columns + column;
    steps = ground[cell] === 1 ? 0 : steps + 1;
    squares[cell] = Math.min(squares[cell]!, steps * steps);
  }
}

/** min over q of (p − q)² + height[q], for each p. @param vertex, from scratch: parabolas of the envelope, and where each begins */
function lowerEnvelope(height: Float64Array, vertex: Int32Array, from: Float64Array, out: Float64Array): void {
  const count = height.length;
  let last = -1;
  for (let q = 0; q < count; q++) {
    if (height[q] === Infinity) continue;
    let meets = -Infinity;
    for (; last >= 0; last--) {
      const other = vertex[last]!;
      meets = (height[q]! + q * q - height[other]! - other * other) / (2 * (q - other));
      if (meets > from[last]!) break;
      meets = -Infinity;
    }
    vertex[++last] = q;
    from[last] = meets;
  }
  if (last < 0) return void out.fill(Infinity);
  from[last + 1] = Infinity;
  for (let p = 0, k = 0; p < count; p++) {
    while (from[k + 1]! < p) k++;
    out[p] = (p - vertex[k]!) ** 2 + height[vertex[k]!]!;
  }
}

function middleOf({ x0M, y0M, columns, cellM }: GridShape, cell: number): readonly [x: number, y: number] {
  const column = cell % columns;
  const row = (cell - column) / columns;
  return [x0M + (column + 0.5) * cellM, y0M + (row + 0.5) * cellM];
}
