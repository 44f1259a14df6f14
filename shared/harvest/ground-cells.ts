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
 * From the middle of each cell to that of the nearest cell of the ground, metres; 0 inside it, Infinity where there is none.
 * @cost O(cells × cells at the ground's edge)
 */
export function distancesFrom(ground: Float64Array, grid: GridShape): Float64Array {
  const { columns, rows, cellM } = grid;
  const isGround = (column: number, row: number) =>
    column >= 0 && row >= 0 && column < columns && row < rows && ground[row * columns + column] === 1;
  const edge: [number, number][] = [];
  for (let row = 0; row < rows; row++)
    for (let column = 0; column < columns; column++) {
      if (!isGround(column, row)) continue;
      const inner =
        isGround(column - 1, row) &&
        isGround(column + 1, row) &&
        isGround(column, row - 1) &&
        isGround(column, row + 1);
      if (!inner) edge.push([column, row]);
    }
  return ground.map((is, cell) => {
    if (is === 1) return 0;
    const column = cell % columns;
    const row = (cell - column) / columns;
    let nearest2 = Infinity;
    for (const [x, y] of edge) nearest2 = Math.min(nearest2, (x - column) ** 2 + (y - row) ** 2);
    return Math.sqrt(nearest2) * cellM;
  });
}

function middleOf({ x0M, y0M, columns, cellM }: GridShape, cell: number): readonly [x: number, y: number] {
  const column = cell % columns;
  const row = (cell - column) / columns;
  return [x0M + (column + 0.5) * cellM, y0M + (row + 0.5) * cellM];
}
