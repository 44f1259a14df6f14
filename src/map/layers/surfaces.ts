/** A grid of the shade inside each field that is near enough: cells with hard edges, cut at the boundary. */
import type { MapGrid } from '../../state/answers.ts';
import type { MapLayer } from '../gl-sheet.ts';
import type { Picture, Surface } from '../picture.svelte.ts';
import { addSurface, refreshSurface, removeSurface, SurfaceCanvas } from '../surface-canvas.ts';
import type { SurfaceLook } from '../surface-pixels.ts';

/** Cells of the same ground: only their values may differ. */
function isSameGround(a: MapGrid, b: MapGrid): boolean {
  const [p, q] = [a.grid, b.grid];
  const isSameSize = p.columns === q.columns && p.rows === q.rows && p.cellM === q.cellM;
  return isSameSize && p.x0M === q.x0M && p.y0M === q.y0M && a.origin[0] === b.origin[0] && a.origin[1] === b.origin[1];
}

export const surfacesLayer: MapLayer = {
  id: 'surfaces',
  open(sheet) {
    const shown = new Map<string, SurfaceCanvas>();
    return [
      (picture) => {
        const wanted = new Map(picture.surfaces.map((one) => [one.shape.id, one]));
        for (const [id, { grid, shape }] of shown) {
          const now = wanted.get(id);
          if (now?.shape === shape && isSameGround(now.grid, grid)) continue;
          removeSurface(sheet, named(id));
          shown.delete(id);
        }
        for (const [id, surface] of wanted) {
          const known = shown.get(id);
          const canvas = known ?? new SurfaceCanvas(surface.grid, surface.shape);
          canvas.paint(surface.grid, lookOf(picture, surface));
          shown.set(id, canvas);
          if (known) refreshSurface(sheet, named(id));
          else addSurface(sheet, named(id), canvas);
        }
      },
    ];
  },
};

const named = (id: string) => `surface ${id}`;

function lookOf(picture: Picture, { group, shape }: Surface): SurfaceLook {
  const { shading, cutTimes } = picture;
  // While it plays, the sheet above shows what is uncovered.
  const untilS = picture.retracedField === shape.id ? (picture.heldAtS ?? -1) : null;
  return {
    color: (value) => shading.color(value, group),
    isFull: (value) => shading.isBrushed(value),
    isShown: (cell) => untilS === null || (cutTimes !== null && cutTimes[cell]! <= untilS),
  };
}
