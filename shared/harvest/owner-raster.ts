/**
 * Who cut what: a raster of sub-cells in which the first swath to hold a sub-cell's centre owns it, and from it the
 * newly cut area of each swath.
 * @source methods-season §2.3 (share × quadrilateral); tests/reference/harvest-path (newly-cut-area, harvest-time)
 */
import type { GridShape } from '../geometry/types.ts';

/** A swath without a single centre is judged at this many places along its middle. */
const PROBES = 9;
/** Sub-cells owned by the swaths just before (the same run) are no overlap for such a swath. */
const OWN_RUN = 60;

export class OwnerRaster {
  /** Index of the first segment to hold the sub-cell's centre; −1 where none did. Row by row from the south-west. */
  readonly segment: Int32Array;
  /** Of the last claim: sub-cells in the swath, and the fresh ones among them inside and outside the boundary. */
  all = 0;
  freshInside = 0;
  freshOutside = 0;

  /**
   * @param grid the sub-cells
   * @param inside 1 for a sub-cell inside the boundary; null: everywhere is inside
   */
  constructor(
    readonly grid: GridShape,
    private readonly inside: Uint8Array | null,
  ) {
    if (inside !== null && inside.length !== grid.columns * grid.rows) {
      throw new RangeError(`OwnerRaster: expected a mask of ${grid.columns * grid.rows} cells, got ${inside.length}`);
    }
    this.segment = new Int32Array(grid.columns * grid.rows).fill(-1);
  }

  /**
   * Takes the unowned sub-cells of one quadrilateral (left and trailing edge in, right and leading edge out, so that two
   * swaths that share an edge never both hold a centre) and counts them. Ground off the raster counts as fresh and
   * outside, since nobody remembers it.
   * @param corners rear left, rear right, front right, front left from `at`; counter-clockwise; m
   * @cost O(sub-cells in the quadrilateral's box)
   */
  claim(segment: number, corners: Float64Array, at: number): void {
    const { x0M, y0M, columns, rows, cellM } = this.grid;
    const owners = this.segment;
    const inside = this.inside;
    // In sub-cells with centres on whole numbers.
    const shiftX = x0M + cellM / 2;
    const shiftY = y0M + cellM / 2;
    const lx = corners[at]! - shiftX;
    const ly = corners[at + 1]! - shiftY;
    const rx = corners[at + 2]! - shiftX;
    const ry = corners[at + 3]! - shiftY;
    const fx = corners[at + 4]! - shiftX;
    const fy = corners[at + 5]! - shiftY;
    const gx = corners[at + 6]! - shiftX;
    const gy = corners[at + 7]! - shiftY;
    const firstColumn = Math.ceil(Math.min(lx, rx, fx, gx) / cellM);
    const lastColumn = Math.floor(Math.max(lx, rx, fx, gx) / cellM);
    const firstRow = Math.ceil(Math.min(ly, ry, fy, gy) / cellM);
    const lastRow = Math.floor(Math.max(ly, ry, fy, gy) / cellM);

    // Rear and front edge are both taken from left to right, so that a joint's edge gives the same bits to both swaths.
    const rearX = rx - lx;
    const rearY = ry - ly;
    const rightX = fx - rx;
    const rightY = fy - ry;
    const frontX = fx - gx;
    const frontY = fy - gy;
    const leftX = lx - gx;
    const leftY = ly - gy;

    let all = 0;
    let freshInside = 0;
    let freshOutside = 0;
    for (let row = firstRow; row <= lastRow; row++) {
      const y = row * cellM;
      const rear = rearX * (y - ly);
      const right = rightX * (y - ry);
      const front = frontX * (y - gy);
      const left = leftX * (y - gy);
      const onRows = row >= 0 && row < rows;
      const base = row * columns;
      for (let column = firstColumn; column <= lastColumn; column++) {
        const x = column * cellM;
        if (rear - rearY * (x - lx) < 0) continue;
        if (front - frontY * (x - gx) >= 0) continue;
        if (right - rightY * (x - rx) <= 0) continue;
        if (left - leftY * (x - gx) < 0) continue;
        all++;
        if (!onRows || column < 0 || column >= columns) {
          freshOutside++;
          continue;
        }
        const cell = base + column;
        if (owners[cell]! >= 0) continue;
        owners[cell] = segment;
        if (inside === null || inside[cell] === 1) freshInside++;
        else freshOutside++;
      }
    }
    this.all = all;
    this.freshInside = freshInside;
    this.freshOutside = freshOutside;
    if (all === 0) this.probe(segment, (lx + gx) / 2, (ly + gy) / 2, (rx + fx) / 2, (ry + fy) / 2);
  }

  /** A slow record's swath can lie between two rows of centres: its share is then read at places along its middle. */
  private probe(segment: number, leftX: number, leftY: number, rightX: number, rightY: number): void {
    const { columns, rows, cellM } = this.grid;
    this.all = PROBES;
    for (let i = 0; i < PROBES; i++) {
      const share = (i + 0.5) / PROBES;
      const column = Math.round((leftX + share * (rightX - leftX)) / cellM);
      const row = Math.round((leftY + share * (rightY - leftY)) / cellM);
      if (column < 0 || column >= columns || row < 0 || row >= rows) {
        this.freshOutside++;
        continue;
      }
      const cell = row * columns + column;
      const owner = this.segment[cell]!;
      if (owner >= 0 && owner < segment - OWN_RUN) continue;
      if (this.inside === null || this.inside[cell] === 1) this.freshInside++;
      else this.freshOutside++;
    }
  }
}

/**
 * The raster that a path needs: the field's sub-cells, widened by whole sub-cells to hold the path's box, at most
 * `marginM` (ground further off is outside whatever was cut before).
 */
export function widenGrid(
  grid: GridShape,
  bounds: readonly [number, number, number, number],
  marginM: number,
): { grid: GridShape; column0: number; row0: number } {
  const { x0M, y0M, columns, rows, cellM } = grid;
  const most = Math.ceil(marginM / cellM);
  const cells = (lengthM: number) => Math.min(most, Math.max(0, Math.ceil(lengthM / cellM)));
  const west = cells(x0M - bounds[0]);
  const south = cells(y0M - bounds[1]);
  const east = cells(bounds[2] - (x0M + columns * cellM));
  const north = cells(bounds[3] - (y0M + rows * cellM));
  return {
    grid: {
      x0M: x0M - west * cellM,
      y0M: y0M - south * cellM,
      columns: columns + west + east,
      rows: rows + south + north,
      cellM,
    },
    column0: west,
    row0: south,
  };
}
