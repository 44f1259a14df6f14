/** When the combine passed over each cell of a grid. */
import type { GridShape } from '../../shared/geometry/types.ts';
import type { ShownPath } from '../state/answers.ts';

type Track = Pick<ShownPath, 'timeS' | 'xM' | 'yM' | 'headingDeg' | 'cutting' | 'swathM' | 'headerWidthM'>;

/**
 * Seconds since the first point of the path at which the cutter bar first came over the middle of a cell, by the bar's two ends at
 * each cutting point; NaN where it never did.
 * @param path in the metre frame of the grid
 * @cost O(points × cells across the bar)
 */
export function cutTimes(path: Track, grid: GridShape): Float32Array {
  const times = new Float32Array(grid.columns * grid.rows).fill(NaN);
  const [firstS] = path.timeS;
  for (let i = 0; i + 1 < path.timeS.length; i++) {
    if (path.cutting[i] !== 1) continue;
    const passedS = path.timeS[i]! - firstS!;
    const steps = Math.max(
      1,
      Math.ceil(Math.hypot(path.xM[i + 1]! - path.xM[i]!, path.yM[i + 1]! - path.yM[i]!) / grid.cellM),
    );
    for (let step = 0; step < steps; step++) {
      const share = step / steps;
      const x = path.xM[i]! + share * (path.xM[i + 1]! - path.xM[i]!);
      const y = path.yM[i]! + share * (path.yM[i + 1]! - path.yM[i]!);
      markBar(times, grid, x, y, path.headingDeg[i]!, barM(path, i), passedS);
    }
  }
  return times;
}

function barM(path: Track, at: number): number {
  const swathM = path.swathM[at]!;
  return swathM > 0 ? Math.max(swathM, path.headerWidthM) : path.headerWidthM;
}

function markBar(
  times: Float32Array,
  grid: GridShape,
  x: number,
  y: number,
  headingDeg: number,
  widthM: number,
  s: number,
): void {
  const heading = (headingDeg * Math.PI) / 180;
  const [acrossX, acrossY] = [Math.cos(heading), -Math.sin(heading)];
  const steps = Math.max(1, Math.ceil((2 * widthM) / grid.cellM));
  for (let k = 0; k <= steps; k++) {
    const off = (k / steps - 0.5) * widthM;
    const column = Math.floor((x + acrossX * off - grid.x0M) / grid.cellM);
    const row = Math.floor((y + acrossY * off - grid.y0M) / grid.cellM);
    if (column < 0 || column >= grid.columns || row < 0 || row >= grid.rows) continue;
    const cell = row * grid.columns + column;
    if (Number.isNaN(times[cell])) times[cell] = s;
  }
}
