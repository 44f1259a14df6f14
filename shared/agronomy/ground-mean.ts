/** The field's mean density with each place weighed by the ground that it stands for: a cross-check where stops crowd. */
import { ordinaryKriging } from '../statistics/kriging.ts';
import type { Block } from '../statistics/kriging-block.ts';
import type { VariogramModel } from '../statistics/variogram-model.ts';
import type { FieldGrid } from './surface-methods.ts';
import type { ThinnedDensity } from './thinned-density.ts';

/** A block of the whole field is as many points as this at most; a system of all places is solved up to that many. */
const MOST_POINTS = 400;
const MOST_PLACES = 1000;

/**
 * Ordinary block kriging of plants/m² over all cells of the field, the nugget as measurement error. The model's shape alone
 * weighs: its sill cancels. Held at 0, since weights may be negative.
 * @param model of log(1 + density), whose shape is used
 * @param cellAreaM2 the cells' ground, m²
 * @returns null above 1000 places, whose system would take too long, and where no cell is field
 * @source tests/reference/variogram-kriging (block kriging, by gstat); its use for a mean is common practice, no source
 */
export function groundMeanPerM2(
  field: FieldGrid,
  cellAreaM2: Float64Array,
  { xM, yM, densityPerM2 }: Pick<ThinnedDensity, 'xM' | 'yM' | 'densityPerM2'>,
  model: VariogramModel,
): number | null {
  if (densityPerM2.length > MOST_PLACES) return null;
  const block = fieldBlock(field, cellAreaM2);
  if (block.weight.length === 0) return null;
  const kriging = ordinaryKriging({ xM, yM, z: densityPerM2 }, model, { nugget: 'measurement error', block });
  const mean = new Float64Array(1);
  kriging.predict(new Float64Array(1), new Float64Array(1), 0, 1, mean, new Float64Array(1));
  return Math.max(0, mean[0]!);
}

/** Every so many-th cell of the field, both ways, weighed by its ground. */
function fieldBlock({ grid, inside }: FieldGrid, cellAreaM2: Float64Array): Block {
  const cells = inside.reduce((sum, one) => sum + one, 0);
  for (let step = Math.max(1, Math.floor(Math.sqrt(cells / MOST_POINTS))); ; step++) {
    const points: { x: number; y: number; area: number }[] = [];
    for (let row = step >> 1; row < grid.rows; row += step) {
      for (let column = step >> 1; column < grid.columns; column += step) {
        const cell = row * grid.columns + column;
        if (!inside[cell] || !(cellAreaM2[cell]! > 0)) continue;
        points.push({
          x: grid.x0M + (column + 0.5) * grid.cellM,
          y: grid.y0M + (row + 0.5) * grid.cellM,
          area: cellAreaM2[cell]!,
        });
      }
    }
    if (points.length > MOST_POINTS) continue;
    const total = points.reduce((sum, one) => sum + one.area, 0);
    return {
      dxM: Float64Array.from(points, (one) => one.x),
      dyM: Float64Array.from(points, (one) => one.y),
      weight: Float64Array.from(points, (one) => one.area / total),
    };
  }
}
