/** The latent count model's own cells: blocks of display cells, few enough to sample, and the way back to the display. */
import { blockOf } from '../geometry/grid.ts';
import { normalCdf, normalQuantile } from '../statistics/special.ts';
import type { ModelCells } from '../statistics/latent/cell-geometry.ts';
import type { FieldGrid } from './surface-methods.ts';

export interface LatentGrid {
  readonly cells: ModelCells;
  /** Display cells along a side of a block. */
  readonly block: number;
  /** Columns and rows of blocks. */
  readonly columns: number;
  readonly rows: number;
  /** Index of the model cell of each block; −1 where no display cell of it is field. */
  readonly cellOfBlock: Int32Array;
}

const MOST_CELLS = 1500;
/**
 * Against draws over all 1451 cells of seven simulated fields (60 quadrats; soft patches, discs, strips, log-Gaussian) the
 * ends of the 90 % range move by 0.001 of the field with 376 cells, 0.0015 with 182, 0.003 with 121, mostly outward; a draw
 * costs their square, a range first visited their cube.
 */
const MOST_COARSE = 200;
/** Probabilities are held within this of 0 and 1, so that their normal quantiles are finite. */
const EDGE = 1e-9;

/**
 * Blocks of display cells: the smallest that leave at most 1500 with any field in them, and of these a regular subset of
 * at most 200 for joint draws.
 * @source methods-spatial §7 step 3 (at most 400; fewer is ours, measured)
 */
export function latentGrid({ grid, inside }: FieldGrid): LatentGrid {
  for (let block = 1; ; block++) {
    const columns = Math.ceil(grid.columns / block);
    const rows = Math.ceil(grid.rows / block);
    const cellOfBlock = new Int32Array(columns * rows).fill(-1);
    for (let cell = 0; cell < inside.length; cell++) if (inside[cell]) cellOfBlock[blockOf(grid, block, cell)] = 0;
    let count = 0;
    for (let at = 0; at < cellOfBlock.length; at++) if (cellOfBlock[at] === 0) cellOfBlock[at] = count++;
    if (count > MOST_CELLS) continue;
    const [xM, yM] = [new Float64Array(count), new Float64Array(count)];
    const sideM = block * grid.cellM;
    cellOfBlock.forEach((cell, at) => {
      if (cell < 0) return;
      xM[cell] = grid.x0M + ((at % columns) + 0.5) * sideM;
      yM[cell] = grid.y0M + (Math.floor(at / columns) + 0.5) * sideM;
    });
    return { cells: { xM, yM, coarse: coarseOf(cellOfBlock, columns) }, block, columns, rows, cellOfBlock };
  }
}

/** Each model cell's part of an area given per display cell (0 where it does not count), m². */
export function areaOfBlocks(
  { grid }: FieldGrid,
  { cells, block, cellOfBlock }: LatentGrid,
  cellAreaM2: Float64Array,
): Float64Array {
  const areaM2 = new Float64Array(cells.xM.length);
  for (let cell = 0; cell < cellAreaM2.length; cell++) {
    const at = cellOfBlock[blockOf(grid, block, cell)]!;
    if (at >= 0) areaM2[at]! += cellAreaM2[cell]!;
  }
  return areaM2;
}

/** Probabilities of the model cells on the display grid: bilinear in their normal quantiles. NaN outside the field. */
export function probabilityOnDisplay(field: FieldGrid, latent: LatentGrid, probability: Float64Array): Float64Array {
  const quantiles = probability.map((p) => normalQuantile(Math.min(1 - EDGE, Math.max(EDGE, p))));
  return onDisplay(field, latent, quantiles).map((z) => (Number.isNaN(z) ? NaN : normalCdf(z)));
}

/** Densities of the model cells on the display grid: bilinear in their logs. NaN outside the field. */
export function densityOnDisplay(field: FieldGrid, latent: LatentGrid, densityPerM2: Float64Array): Float64Array {
  return onDisplay(field, latent, densityPerM2.map(Math.log)).map(Math.exp);
}

/** Bilinear between the four blocks about a display cell; those without field are left out. */
function onDisplay(
  { grid, inside }: FieldGrid,
  { block, columns, rows, cellOfBlock }: LatentGrid,
  values: Float64Array,
): Float64Array {
  const out = new Float64Array(inside.length).fill(NaN);
  for (let cell = 0; cell < inside.length; cell++) {
    if (!inside[cell]) continue;
    const x = ((cell % grid.columns) + 0.5) / block - 0.5;
    const y = (Math.floor(cell / grid.columns) + 0.5) / block - 0.5;
    const left = Math.floor(x);
    const under = Math.floor(y);
    let [sum, weights] = [0, 0];
    for (let row = under; row <= under + 1; row++) {
      for (let column = left; column <= left + 1; column++) {
        if (row < 0 || row >= rows || column < 0 || column >= columns) continue;
        const at = cellOfBlock[row * columns + column]!;
        if (at < 0) continue;
        const weight = (1 - Math.abs(x - column)) * (1 - Math.abs(y - row));
        sum += weight * values[at]!;
        weights += weight;
      }
    }
    out[cell] = sum / weights;
  }
  return out;
}

/**
 * One of every so many blocks, the same way about all of them: blocks with column + slant × row in one class. Of the slants
 * the one whose blocks lie farthest apart, of the classes the one with the most cells.
 */
function coarseOf(cellOfBlock: Int32Array, columns: number): Int32Array {
  for (let every = 1; ; every++) {
    const slant = widestSlant(every);
    const classes = Array.from({ length: every }, (): number[] => []);
    cellOfBlock.forEach((cell, at) => {
      if (cell >= 0) classes[((at % columns) + slant * Math.floor(at / columns)) % every]!.push(cell);
    });
    const best = classes.reduce((most, cells) => (cells.length > most.length ? cells : most));
    if (best.length <= MOST_COARSE) return Int32Array.from(best);
  }
}

/** The slant at which the two nearest blocks of a class lie farthest apart. */
function widestSlant(every: number): number {
  let [best, widest] = [0, 0];
  for (let slant = 0; slant < every; slant++) {
    let nearest = every * every;
    for (let up = 1; up < every; up++) {
      const right = (slant * up) % every;
      const across = Math.min(right, every - right);
      nearest = Math.min(nearest, across * across + up * up);
    }
    if (nearest > widest) [best, widest] = [slant, nearest];
  }
  return best;
}
