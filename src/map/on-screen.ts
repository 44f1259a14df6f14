/** The values on screen, weighed: by area where surfaces are drawn, else by field. */
import { cellCentre, cellIndexAt } from '../../shared/geometry/grid.ts';
import { createFrame } from '../../shared/geometry/local-frame.ts';
import type { Bounds, LonLat } from '../../shared/geometry/types.ts';
import type { MapGrid } from '../state/answers.ts';
import { type FieldShape, overlap } from './field-shapes.ts';
import type { Weighed } from './histogram.ts';
import type { Surface } from './picture.svelte.ts';
import type { Readings } from './shade-readings.ts';
import { insideOf } from './surface-pixels.ts';

export interface OnScreen {
  readonly weighedBy: 'area' | 'field';
  readonly values: readonly Weighed[];
}

/** @param group only fields of this group; others are neither known nor unknown */
export function onScreen(
  shapes: readonly FieldShape[],
  readings: Readings,
  surfaces: readonly Surface[],
  bounds: Bounds,
  group: string,
  areaM2: (field: string) => number,
): OnScreen {
  const values: Weighed[] = [];
  const bySurface = new Map(surfaces.map((one) => [one.shape.id, one]));
  const weighedBy = surfaces.length > 0 ? 'area' : 'field';
  for (const shape of shapes) {
    const reading = readings.get(shape.id);
    if (!reading || reading.group !== group || !overlap(shape.bounds, bounds)) continue;
    const surface = bySurface.get(shape.id);
    if (surface) for (const cell of cellsOnScreen(surface, bounds)) values.push(cell);
    else values.push({ value: reading.value, weight: weighedBy === 'area' ? areaM2(shape.id) : 1 });
  }
  return { weighedBy, values };
}

function* cellsOnScreen({ shape, grid }: Surface, [west, south, east, north]: Bounds): Generator<Weighed> {
  const frame = createFrame(grid.origin);
  const [x0, y0] = frame.toLocal(west, south);
  const [x1, y1] = frame.toLocal(east, north);
  const inside = insideOf(grid, shape.boundary);
  const weight = grid.grid.cellM ** 2;
  for (let cell = 0; cell < inside.length; cell++) {
    if (inside[cell] !== 1) continue;
    const [x, y] = cellCentre(grid.grid, cell);
    if (x < x0 || x > x1 || y < y0 || y > y1) continue;
    const value = grid.values[cell]!;
    yield { value: Number.isNaN(value) ? null : value, weight };
  }
}

/** The value of a grid at a place; null where it is unknown or outside. */
export function gridValueAt({ origin, grid, values }: MapGrid, at: LonLat): number | null {
  const cell = cellIndexAt(grid, ...createFrame(origin).toLocal(...at));
  const value = cell < 0 ? NaN : values[cell]!;
  return Number.isNaN(value) ? null : value;
}
