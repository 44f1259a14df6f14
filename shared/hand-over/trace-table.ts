/** Followed seed as tables for a spreadsheet: its parts and distances, and the cells that the map draws. */
import { quantityColumn, rangeColumns, type Table } from '../export/csv.ts';
import { cellCentre } from '../geometry/grid.ts';
import { createFrame } from '../geometry/local-frame.ts';
import type { GridShape, LonLat } from '../geometry/types.ts';
import type { Range } from '../model/range.ts';
import { type Display, shownUnit } from '../units/format.ts';

export interface FollowedRow {
  readonly is: string;
  readonly words: string;
  readonly field: string | null;
  readonly withinM: number | null;
  readonly share: Range;
  readonly seeds: Range;
}

/** What every row says besides, so that the file tells by itself what it is of. */
export interface FollowedHead {
  readonly fieldName: string;
  readonly season: number;
  readonly ground: string;
  /** "where its seed came from". */
  readonly asked: string;
  /** What it rests on: an assumed path, a field that nobody looked at, times that nobody measured. */
  readonly notes: readonly string[];
}

export function traceTable(rows: readonly FollowedRow[], head: FollowedHead, display: Display): Table<FollowedRow> {
  return {
    columns: [
      { title: 'Field', of: () => head.fieldName },
      { title: 'Season', of: () => head.season },
      { title: 'Ground', of: () => head.ground },
      { title: 'Asked', of: () => head.asked },
      { title: 'Row is', of: (row) => row.is },
      { title: 'Seed', of: (row) => row.words },
      { title: 'Other field', of: (row) => row.field },
      quantityColumn<FollowedRow>('Within', shownUnit('length', display), (row) => row.withinM),
      ...rangeColumns<FollowedRow>('Share', '%', (row) => row.share),
      ...rangeColumns<FollowedRow>('Seeds', 'seeds', (row) => row.seeds),
      { title: 'Rests on', of: () => head.notes.join(' ') },
    ],
    rows,
  };
}

export interface FollowedCell {
  readonly at: LonLat;
  readonly seedsPerM2: number;
}

/** @param perM2 seeds/m² of each cell; NaN outside the field */
export function followedCells(origin: LonLat, grid: GridShape, perM2: ArrayLike<number>): FollowedCell[] {
  const frame = createFrame(origin);
  return Array.from(perM2, (seedsPerM2, cell): FollowedCell | null =>
    seedsPerM2 > 0 ? { at: frame.toLonLat(...cellCentre(grid, cell)), seedsPerM2 } : null,
  ).filter((one) => one !== null);
}

/** Most likely case. @param title what the seeds of a cell are: "Grew here" */
export function followedCellsTable(
  cells: readonly FollowedCell[],
  title: string,
  display: Display,
): Table<FollowedCell> {
  return {
    columns: [
      { title: 'Latitude', of: ({ at }) => Number(at[1].toFixed(7)) },
      { title: 'Longitude', of: ({ at }) => Number(at[0].toFixed(7)) },
      quantityColumn<FollowedCell>(
        `${title}, most likely: seeds`,
        shownUnit('count per area', display),
        (row) => row.seedsPerM2,
      ),
    ],
    rows: cells,
  };
}
