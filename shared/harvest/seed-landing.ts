import type { GridShape } from '../geometry/types.ts';
import { kernelPoints } from './lateral-kernel.ts';
import type { KernelPoints } from './lateral-kernel.ts';
import type { MachineStreams } from './machine-streams.ts';

/** The map that seed falls on: spreads what leaves an exit over the cells behind the machine. */
export class SeedLanding {
  private readonly kernels: Record<'chaff' | 'straw', KernelPoints>;

  /** @param landed seeds, index = cell × channels + channel; added to in place */
  constructor(
    machine: MachineStreams,
    private readonly cells: GridShape,
    private readonly inField: Uint8Array,
    private readonly landed: Float64Array,
    private readonly channels: number,
  ) {
    this.kernels = {
      chaff: kernelPoints(machine.kernels.chaff, machine.slices),
      straw: kernelPoints(machine.kernels.straw, machine.slices),
    };
  }

  /**
   * Drops seed of every channel around a point: P = exit + s·r, s by the exit's kernel, each slice to the cell that
   * holds it (low edges in, high edges out). Slices in a row that share a cell are added first: the geometry is done
   * once for all channels.
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
    const { offsetsM, weights } = this.kernels[exit];
    const { columns, rows, cellM } = cells;
    const column0 = (xM - cells.x0M) / cellM;
    const row0 = (yM - cells.y0M) / cellM;
    const columnsAMetre = northPart / cellM;
    const rowsAMetre = -eastPart / cellM;
    let outside = 0;
    let cell = -1;
    let gathered = 0;
    for (let slice = 0; slice < weights.length; slice++) {
      const column = column0 + offsetsM[slice]! * columnsAMetre;
      const row = row0 + offsetsM[slice]! * rowsAMetre;
      let here = -1;
      if (column >= 0 && row >= 0 && column < columns && row < rows) {
        here = (row | 0) * columns + (column | 0);
        if (inField[here] === 0) here = -1;
      }
      if (here < 0) {
        outside += weights[slice]!;
        continue;
      }
      if (here !== cell) {
        if (gathered > 0) {
          const base = cell * channels;
          for (let channel = 0; channel < channels; channel++)
            landed[base + channel]! += seeds[at + channel]! * gathered;
        }
        cell = here;
        gathered = 0;
      }
      gathered += weights[slice]!;
    }
    if (gathered === 0) return 1;
    const base = cell * channels;
    for (let channel = 0; channel < channels; channel++) landed[base + channel]! += seeds[at + channel]! * gathered;
    return outside;
  }
}
