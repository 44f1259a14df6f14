/** The plan of a change: rows of alike cells as shapes, the field's outline, and its scale, laid into a box. */
import type { FieldChange } from '../../../shared/analysis/changes.ts';
import { createFrame } from '../../../shared/geometry/local-frame.ts';
import type { MultiPolygon } from '../../../shared/geometry/types.ts';
import { CELL_STATES, type CellState } from '../../../shared/scouting/change-between.ts';

export type DrawnState = Exclude<CellState, 'outside'>;

export interface ChangePlan {
  /** SVG paths of each state's cells; '' where there are none. */
  readonly paths: Readonly<Record<DrawnState, string>>;
  readonly outline: string;
  readonly heightPx: number;
  readonly pxPerM: number;
}

export function changePlan(
  { cells, grid, origin }: Pick<NonNullable<FieldChange['ground']>, 'cells' | 'grid' | 'origin'>,
  boundary: MultiPolygon,
  box: { readonly widthPx: number; readonly mostHeightPx: number },
): ChangePlan {
  const [widthM, heightM] = [grid.columns * grid.cellM, grid.rows * grid.cellM];
  const pxPerM = Math.min((box.widthPx - 2) / widthM, (box.mostHeightPx - 2) / heightM);
  const heightPx = heightM * pxPerM + 2;
  const leftPx = (box.widthPx - widthM * pxPerM) / 2;
  const x = (xM: number) => (leftPx + (xM - grid.x0M) * pxPerM).toFixed(2);
  const y = (yM: number) => (heightPx - 1 - (yM - grid.y0M) * pxPerM).toFixed(2);
  const paths: Record<DrawnState, string> = { unknown: '', clean: '', gone: '', appeared: '', stayed: '' };
  for (let row = 0; row < grid.rows; row++) {
    for (let from = 0; from < grid.columns;) {
      const state = CELL_STATES[cells[row * grid.columns + from]!]!;
      let to = from + 1;
      while (to < grid.columns && CELL_STATES[cells[row * grid.columns + to]!] === state) to++;
      if (state !== 'outside') {
        const [left, right] = [x(grid.x0M + from * grid.cellM), x(grid.x0M + to * grid.cellM)];
        const [low, high] = [y(grid.y0M + row * grid.cellM), y(grid.y0M + (row + 1) * grid.cellM)];
        paths[state] += `M${left} ${low}H${right}V${high}H${left}Z`;
      }
      from = to;
    }
  }
  const frame = createFrame(origin);
  const corner = ([lon, lat]: readonly [number, number]) => {
    const [xM, yM] = frame.toLocal(lon, lat);
    return `${x(xM)} ${y(yM)}`;
  };
  const outline = boundary.flatMap((rings) => rings.map((ring) => `M${ring.map(corner).join('L')}Z`)).join('');
  return { paths, outline, heightPx, pxPerM };
}
