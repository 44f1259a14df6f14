import type { GridShape } from '../geometry/types.ts';
import { kernelPoints } from './lateral-kernel.ts';
import type { LateralKernel, MachineStreams } from './machine-streams.ts';

/** A kernel's slices in bands of even spacing; index of a slice counts over all bands. */
interface Slices {
  /** Slices in each band. */
  readonly inBand: number;
  readonly spacingM: number;
  readonly offsetsM: Float64Array;
  /** Weight of all slices before each, one longer than the slices. */
  readonly before: Float64Array;
}

/** The map that seed falls on: spreads what leaves an exit over the cells behind the machine. */
export class SeedLanding {
  private readonly kernels: Record<'chaff' | 'straw', Slices>;

  /** @param landed seeds, index = cell × channels + channel; added to in place */
  constructor(
    machine: MachineStreams,
    private readonly cells: GridShape,
    private readonly inField: Uint8Array,
    private readonly landed: Float64Array,
    private readonly channels: number,
  ) {
    this.kernels = {
      chaff: slicesOf(machine.kernels.chaff, machine.slices),
      straw: slicesOf(machine.kernels.straw, machine.slices),
    };
  }

  /**
   * Drops seed of every channel around a point: P = exit + s·r, s by the exit's kernel, each slice to the cell that
   * holds it (low edges in, high edges out). Slices in a row that share a cell are taken together: the one that leaves the
   * cell is foretold from the cell's edges, and looked at.
   * @param xM, yM where the exit is; `eastPart`, `northPart` the heading's unit vector
   * @param seeds one number a channel, from index `at`
   * @returns share of the seed that falls outside the field or the grid
   */
  drop(
    exit: 'chaff' | 'straw',
    xM: number,
    yM: number,
    eastPart: number,
    northPart: number,
    seeds: Float64Array,
    at: number,
  ): number {
    const { cells, inField, landed, channels } = this;
    const { offsetsM, before, inBand, spacingM } = this.kernels[exit];
    const { columns, rows, cellM } = cells;
    const column0 = (xM - cells.x0M) / cellM;
    const row0 = (yM - cells.y0M) / cellM;
    const columnsAMetre = northPart / cellM;
    const rowsAMetre = -eastPart / cellM;
    const metresAColumn = 1 / columnsAMetre;
    const metresARow = 1 / rowsAMetre;
    let outside = 0;
    let fell = false;
    for (let slice = 0; slice < offsetsM.length;) {
      const bandEnd = slice - (slice % inBand) + inBand;
      const fromM = offsetsM[slice]!;
      const column = Math.floor(column0 + fromM * columnsAMetre);
      const row = Math.floor(row0 + fromM * rowsAMetre);
      const columnEndM =
        columnsAMetre === 0 ? Infinity : (column - column0 + (columnsAMetre > 0 ? 1 : 0)) * metresAColumn;
      const rowEndM = rowsAMetre === 0 ? Infinity : (row - row0 + (rowsAMetre > 0 ? 1 : 0)) * metresARow;
      const foretold = slice + Math.ceil((Math.min(columnEndM, rowEndM) - fromM) / spacingM);
      let next = foretold < bandEnd ? Math.max(foretold, slice + 1) : bandEnd;
      for (; next > slice + 1; next--) {
        const atM = offsetsM[next - 1]!;
        if (Math.floor(column0 + atM * columnsAMetre) === column && Math.floor(row0 + atM * rowsAMetre) === row) break;
      }
      for (; next < bandEnd; next++) {
        const atM = offsetsM[next]!;
        if (Math.floor(column0 + atM * columnsAMetre) !== column || Math.floor(row0 + atM * rowsAMetre) !== row) break;
      }
      const weight = before[next]! - before[slice]!;
      slice = next;
      const cell = row * columns + column;
      if (column < 0 || row < 0 || column >= columns || row >= rows || inField[cell] === 0) {
        outside += weight;
        continue;
      }
      fell = true;
      const base = cell * channels;
      for (let channel = 0; channel < channels; channel++) landed[base + channel]! += seeds[at + channel]! * weight;
    }
    return fell ? outside : 1;
  }
}

function slicesOf(kernel: LateralKernel, inBand: number): Slices {
  const { offsetsM, weights } = kernelPoints(kernel, inBand);
  const before = new Float64Array(weights.length + 1);
  weights.forEach((weight, slice) => (before[slice + 1] = before[slice]! + weight));
  return { inBand, spacingM: kernel.widthM / inBand, offsetsM, before };
}
