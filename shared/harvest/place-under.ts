import type { GridShape } from '../geometry/types.ts';
import type { DrivenSegment } from './driven-segment.ts';
import { type KernelPoints, kernelPoints } from './lateral-kernel.ts';
import type { MachinePath, MovementInput } from './movement-input.ts';

/** A place on the field as seed sees it that is just leaving the machine: how much of it falls there. */
export class PlaceUnder {
  private readonly kernels: Readonly<Record<'chaff' | 'straw', KernelPoints>>;
  private readonly cells: GridShape;
  private readonly inField: Uint8Array;
  /** About all cells of the place, as far out as the widest kernel reaches: an exit beyond lets nothing fall in it. */
  private readonly reach: readonly [x0M: number, y0M: number, x1M: number, y1M: number];

  private readonly path: MachinePath;
  /** How far the exits lie from the segment's own line at most. */
  private readonly asideM: number;

  /** @param place weight of each cell, 0 outside the place */
  constructor(
    { machine, cells, inField, path }: MovementInput,
    private readonly place: ArrayLike<number>,
  ) {
    this.path = path;
    this.asideM = Math.abs(machine.cutterBarToExitM);
    this.cells = cells;
    this.inField = inField;
    this.kernels = {
      chaff: kernelPoints(machine.kernels.chaff, machine.slices),
      straw: kernelPoints(machine.kernels.straw, machine.slices),
    };
    const offsets = [...this.kernels.chaff.offsetsM, ...this.kernels.straw.offsetsM];
    this.reach = grown(boxOf(place, cells), Math.max(...offsets.map(Math.abs)));
  }

  /** Whether any of what leaves in segment k could fall in the place; some of which that is true does not. */
  isReachedIn(k: number): boolean {
    const { xM, yM } = this.path;
    const [x0, y0, x1, y1] = this.reach;
    const [fromX, toX, fromY, toY] = [xM[k]!, xM[k + 1]!, yM[k]!, yM[k + 1]!];
    return (
      Math.max(fromX, toX) + this.asideM >= x0 &&
      Math.min(fromX, toX) - this.asideM <= x1 &&
      Math.max(fromY, toY) + this.asideM >= y0 &&
      Math.min(fromY, toY) - this.asideM <= y1
    );
  }

  /** Whether any of what leaves an exit that stands where the segment's does can fall in the place. */
  isNear({ xM, yM }: DrivenSegment): boolean {
    const [x0, y0, x1, y1] = this.reach;
    return xM >= x0 && xM <= x1 && yM >= y0 && yM <= y1;
  }

  /**
   * Of one seed that leaves an exit now: the sum of the place's weights where its slices fall, each in the cell that holds it.
   * @cost O(slices)
   */
  weightUnder(exit: 'chaff' | 'straw', { xM, yM, eastPart, northPart }: DrivenSegment): number {
    const { cells, inField, place } = this;
    const { offsetsM, weights } = this.kernels[exit];
    const { columns, rows, cellM } = cells;
    const column0 = (xM - cells.x0M) / cellM;
    const row0 = (yM - cells.y0M) / cellM;
    const columnsAMetre = northPart / cellM;
    const rowsAMetre = -eastPart / cellM;
    let weight = 0;
    for (let slice = 0; slice < offsetsM.length; slice++) {
      const column = Math.floor(column0 + offsetsM[slice]! * columnsAMetre);
      const row = Math.floor(row0 + offsetsM[slice]! * rowsAMetre);
      if (column < 0 || row < 0 || column >= columns || row >= rows) continue;
      const cell = row * columns + column;
      if (inField[cell] === 1) weight += weights[slice]! * place[cell]!;
    }
    return weight;
  }
}

type Box = readonly [number, number, number, number];

function boxOf(place: ArrayLike<number>, { x0M, y0M, columns, rows, cellM }: GridShape): Box {
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let cell = 0; cell < columns * rows; cell++) {
    if (place[cell] === 0) continue;
    const column = cell % columns;
    const row = (cell - column) / columns;
    west = Math.min(west, column);
    east = Math.max(east, column + 1);
    south = Math.min(south, row);
    north = Math.max(north, row + 1);
  }
  return [x0M + west * cellM, y0M + south * cellM, x0M + east * cellM, y0M + north * cellM];
}

function grown([west, south, east, north]: Box, byM: number): Box {
  return [west - byM, south - byM, east + byM, north + byM];
}
