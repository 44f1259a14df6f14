import type { GridShape } from '../geometry/types.ts';
import { CompensatedSums } from './ledger.ts';

/** Seed at the cutter bar: what each segment of the path cut, what fell there, what stayed on the plant. */
export interface CutSeed {
  /** Seeds on the plants that a segment cut, index = segment × channels + channel; header loss is still in it. */
  readonly bySegment: Float64Array;
  /** Header loss where it stood, seeds a cell, index = cell × channels + channel. */
  readonly headerLossByCell: Float64Array;
  readonly standingSeeds: Float64Array;
  readonly leftStandingSeeds: Float64Array;
  readonly headerLossSeeds: Float64Array;
  /** Cells inside the field whose standing seed is not known; they count as 0. */
  readonly unknownCells: Int32Array;
}

export interface CutSeedInput {
  readonly owner: { readonly grid: GridShape; readonly segment: Int32Array };
  readonly cells: GridShape;
  readonly inField: Uint8Array;
  readonly standing: readonly (Float64Array | Float32Array)[];
  readonly segments: number;
  readonly headerLossFraction: number;
}

const ROWS_A_TURN = 256;

/**
 * Sums standing seed over the sub-cells that each segment was first to cut (N = Σ S·a).
 * Seed of a cell counts wherever it stands: give 0 outside the field.
 * @throws where the sub-cells do not nest in the cells, a segment does not exist, or a density is negative
 * @source methods-season §4.2
 * @cost O(sub-cells + cells × channels); O(cells) where nothing stands
 */
export function* sumCutSeed(input: CutSeedInput): Generator<number, CutSeed, void> {
  const { owner, cells, segments, headerLossFraction } = input;
  const channels = input.standing.length;
  const perSide = subCellsPerSide(owner.grid, cells);
  const subAreaM2 = cells.cellM ** 2 / perSide ** 2;
  const cellCount = cells.columns * cells.rows;

  const { perSubCell, seeded, seededRows, anySeed, unknownCells } = standingSeeds(input, subAreaM2);
  const bySegment = new Float64Array(segments * channels);
  const cutSubCells = new Int32Array(cellCount);

  if (anySeed) {
    const columnOf = cellOfEach(
      owner.grid.columns,
      owner.grid.x0M,
      owner.grid.cellM,
      cells.x0M,
      cells.cellM,
      cells.columns,
    );
    const rowOf = cellOfEach(owner.grid.rows, owner.grid.y0M, owner.grid.cellM, cells.y0M, cells.cellM, cells.rows);
    const { segment } = owner;
    const { columns } = owner.grid;
    for (let row = 0; row < owner.grid.rows; row++) {
      if (row % ROWS_A_TURN === 0) yield row / owner.grid.rows;
      if (rowOf[row]! < 0 || seededRows[rowOf[row]!] === 0) continue;
      const cellRow = rowOf[row]! * cells.columns;
      sumRow(segment, row * columns, columnOf, cellRow, seeded, perSubCell, channels, bySegment, cutSubCells, segments);
    }
  }

  const headerLossByCell = new Float64Array(cellCount * channels);
  const standing = new CompensatedSums(channels);
  const left = new CompensatedSums(channels);
  const loss = new CompensatedSums(channels);
  for (let cell = 0; cell < cellCount; cell++) {
    if (seeded[cell] === 0) continue;
    const cut = cutSubCells[cell]!;
    for (let channel = 0; channel < channels; channel++) {
      const each = perSubCell[cell * channels + channel]!;
      const headerLoss = each * cut * headerLossFraction;
      headerLossByCell[cell * channels + channel] = headerLoss;
      standing.add(channel, each * perSide * perSide);
      left.add(channel, each * (perSide * perSide - cut));
      loss.add(channel, headerLoss);
    }
  }
  return {
    bySegment,
    headerLossByCell,
    standingSeeds: standing.totals(),
    leftStandingSeeds: left.totals(),
    headerLossSeeds: loss.totals(),
    unknownCells,
  };
}

function sumRow(
  segment: Int32Array,
  base: number,
  columnOf: Int32Array,
  cellRow: number,
  seeded: Uint8Array,
  perSubCell: Float64Array,
  channels: number,
  bySegment: Float64Array,
  cutSubCells: Int32Array,
  segments: number,
): void {
  const end = columnOf.length;
  for (let column = 0; column < end;) {
    const cut = segment[base + column]!;
    const cellColumn = columnOf[column]!;
    // Sub-cells side by side are mostly one cell's, cut by one segment.
    const first = column++;
    while (column < end && segment[base + column] === cut && columnOf[column] === cellColumn) column++;
    if (cut < 0 || cellColumn < 0) continue;
    const cell = cellRow + cellColumn;
    if (seeded[cell] === 0) continue;
    if (cut >= segments) throw new Error(`sumCutSeed: a sub-cell names segment ${cut} of ${segments}`);
    const count = column - first;
    cutSubCells[cell]! += count;
    for (let channel = 0; channel < channels; channel++) {
      bySegment[cut * channels + channel]! += count * perSubCell[cell * channels + channel]!;
    }
  }
}

function standingSeeds({ standing, cells, inField }: CutSeedInput, subAreaM2: number) {
  const channels = standing.length;
  const cellCount = cells.columns * cells.rows;
  const perSubCell = new Float64Array(cellCount * channels);
  const seeded = new Uint8Array(cellCount);
  /** Rows of cells that hold any: nothing else of the ground is looked at. */
  const seededRows = new Uint8Array(cells.rows);
  const unknownCells = new Int32Array(channels);
  let anySeed = false;
  for (let channel = 0; channel < channels; channel++) {
    const densityPerM2 = standing[channel]!;
    for (let cell = 0; cell < cellCount; cell++) {
      const here = densityPerM2[cell]!;
      if (Number.isNaN(here)) {
        if (inField[cell] === 1) unknownCells[channel]!++;
      } else if (here > 0 && here < Infinity) {
        perSubCell[cell * channels + channel] = here * subAreaM2;
        seeded[cell] = 1;
        seededRows[Math.floor(cell / cells.columns)] = 1;
        anySeed = true;
      } else if (here !== 0) throw new Error(`sumCutSeed: cell ${cell} holds ${here} seeds/m²`);
    }
  }
  return { perSubCell, seeded, seededRows, anySeed, unknownCells };
}

function subCellsPerSide(sub: GridShape, cells: GridShape): number {
  const perSide = Math.round(cells.cellM / sub.cellM);
  const isWhole = (value: number) => Math.abs(value - Math.round(value)) <= 1e-6;
  const nests =
    perSide >= 1 &&
    Math.abs(perSide * sub.cellM - cells.cellM) <= 1e-9 * cells.cellM &&
    isWhole((sub.x0M - cells.x0M) / sub.cellM) &&
    isWhole((sub.y0M - cells.y0M) / sub.cellM);
  if (!nests) throw new Error(`sumCutSeed: sub-cells of ${sub.cellM} m do not nest in cells of ${cells.cellM} m`);
  return perSide;
}

/** Cell column (or row) of each sub-cell column, −1 outside. */
export function cellOfEach(
  count: number,
  sub0M: number,
  subM: number,
  cell0M: number,
  cellM: number,
  cellCount: number,
): Int32Array {
  const index = new Int32Array(count);
  for (let k = 0; k < count; k++) {
    const cell = Math.floor((sub0M + (k + 0.5) * subM - cell0M) / cellM);
    index[k] = cell >= 0 && cell < cellCount ? cell : -1;
  }
  return index;
}
