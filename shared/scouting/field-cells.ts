/** A field in few cells: blocks of the cells of its maps, for what costs the square of their number. */
import { blockOf } from '../geometry/grid.ts';
import type { GridShape } from '../geometry/types.ts';

export interface FieldCells {
  /** A place on the ground of each block, near the middle of that ground, m. */
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  /** Ground in the block, m². */
  readonly areaM2: Float64Array;
  /** Blocks that a person can be sent to: at least half of a whole one. */
  readonly candidates: Int32Array;
}

/** As many blocks as the search takes in a moment. */
const MOST_BLOCKS = 400;
const LEAST_SHARE = 0.5;

/** @param field `inside`: 1 where the center of a cell is on the ground; `cellAreaM2`: ground in each cell */
export function fieldCells(field: {
  readonly grid: GridShape;
  readonly inside: Uint8Array;
  readonly cellAreaM2: Float64Array;
}): FieldCells {
  const { grid, inside } = field;
  const count = inside.reduce((sum, one) => sum + one, 0);
  for (let side = Math.max(1, Math.floor(Math.sqrt(count / MOST_BLOCKS))); ; side++) {
    const blocks = blocksOf(field, side);
    if (blocks.length > MOST_BLOCKS) continue;
    const whole = (side * grid.cellM) ** 2;
    const column = (of: (one: Block) => number) => Float64Array.from(blocks, of);
    const candidates = blocks.flatMap((one, index) => (one.areaM2 >= LEAST_SHARE * whole ? [index] : []));
    return {
      xM: column((one) => one.xM),
      yM: column((one) => one.yM),
      areaM2: column((one) => one.areaM2),
      // A field narrower than a block has no half block: then each is one to be sent to.
      candidates: Int32Array.from(candidates.length > 0 ? candidates : blocks.keys()),
    };
  }
}

interface Block {
  xM: number;
  yM: number;
  areaM2: number;
}

function blocksOf({ grid, inside, cellAreaM2 }: Parameters<typeof fieldCells>[0], side: number): Block[] {
  const sums = new Map<number, { x: number; y: number; n: number; areaM2: number; cells: number[] }>();
  for (let cell = 0; cell < inside.length; cell++) {
    if (inside[cell] !== 1) continue;
    const [column, row] = [cell % grid.columns, Math.floor(cell / grid.columns)];
    const block = blockOf(grid, side, cell);
    const sum = sums.get(block) ?? { x: 0, y: 0, n: 0, areaM2: 0, cells: [] };
    sum.x += column;
    sum.y += row;
    sum.n++;
    sum.areaM2 += cellAreaM2[cell]!;
    sum.cells.push(cell);
    sums.set(block, sum);
  }
  return [...sums.values()].map(({ x, y, n, areaM2, cells }) => {
    // The middle of the ground may lie off it, in a bend: the cell nearest to it does not.
    let nearest = cells[0]!;
    const away = (cell: number) => Math.hypot((cell % grid.columns) - x / n, Math.floor(cell / grid.columns) - y / n);
    for (const cell of cells) if (away(cell) < away(nearest)) nearest = cell;
    return {
      xM: grid.x0M + ((nearest % grid.columns) + 0.5) * grid.cellM,
      yM: grid.y0M + (Math.floor(nearest / grid.columns) + 0.5) * grid.cellM,
      areaM2,
    };
  });
}
