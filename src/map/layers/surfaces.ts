/** A grid of the shade inside each field that is near enough: cells with hard edges, cut at the boundary. */
import type { CanvasSource } from 'maplibre-gl';
import type { MapGrid } from '../../state/answers.ts';
import type { FieldShape } from '../field-shapes.ts';
import type { GlSheet, MapLayer } from '../gl-sheet.ts';
import type { Picture, Surface } from '../picture.svelte.ts';
import { cornersOf, inFrame, insideOf, surfacePixels } from '../surface-pixels.ts';

/** Drawn by the processor: the map library reads it back. */
const CPU: CanvasRenderingContext2DSettings = { willReadFrequently: true };

/** A canvas with one field's grid on it, and its place on the map. */
class SurfaceCanvas {
  readonly canvas = document.createElement('canvas');
  private readonly cells = document.createElement('canvas');
  private readonly inside: Uint8Array;
  private readonly outline: Path2D;
  private readonly enlarged: number;

  constructor(
    readonly grid: MapGrid,
    readonly shape: FieldShape,
  ) {
    const { columns, rows } = grid.grid;
    this.enlarged = Math.min(6, Math.max(1, Math.floor(1280 / Math.max(columns, rows))));
    [this.cells.width, this.cells.height] = [columns, rows];
    [this.canvas.width, this.canvas.height] = [columns * this.enlarged, rows * this.enlarged];
    this.inside = insideOf(grid, shape.boundary);
    this.outline = this.outlined();
  }

  paint({ shading, retrace, cutTimes }: Picture, { grid, group, shape }: Surface): void {
    const untilS = retrace?.field === shape.id ? retrace.atS : null;
    const pixels = surfacePixels(grid, this.inside, {
      color: (value) => shading.color(value, group),
      isFull: (value) => shading.isBrushed(value),
      isShown: (cell) => untilS === null || (cutTimes !== null && cutTimes[cell]! <= untilS),
    });
    const { width, height } = this.cells;
    const small = this.cells.getContext('2d', CPU)!;
    small.putImageData(new ImageData(new Uint8ClampedArray(pixels), width, height), 0, 0);
    const context = this.canvas.getContext('2d', CPU)!;
    context.clearRect(0, 0, this.canvas.width, this.canvas.height);
    context.save();
    context.clip(this.outline, 'evenodd');
    context.imageSmoothingEnabled = false;
    context.drawImage(this.cells, 0, 0, this.canvas.width, this.canvas.height);
    context.restore();
  }

  private outlined(): Path2D {
    const { x0M, y0M, rows, cellM } = this.grid.grid;
    const perM = this.enlarged / cellM;
    const path = new Path2D();
    for (const ring of inFrame(this.grid.origin, this.shape.boundary).flat()) {
      for (let i = 0; i < ring.length; i += 2) {
        const at = [(ring[i]! - x0M) * perM, (y0M + rows * cellM - ring[i + 1]!) * perM] as const;
        if (i === 0) path.moveTo(...at);
        else path.lineTo(...at);
      }
      path.closePath();
    }
    return path;
  }
}

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
          remove(sheet, id);
          shown.delete(id);
        }
        for (const [id, surface] of wanted) {
          const known = shown.get(id);
          const canvas = known ?? new SurfaceCanvas(surface.grid, surface.shape);
          canvas.paint(picture, surface);
          shown.set(id, canvas);
          if (known) refresh(sheet, id);
          else add(sheet, id, canvas);
        }
      },
    ];
  },
};

const named = (id: string) => `surface ${id}`;

function add({ map, put }: GlSheet, id: string, { canvas, grid }: SurfaceCanvas): void {
  map.addSource(named(id), { type: 'canvas', canvas, animate: false, coordinates: cornersOf(grid) } as never);
  put({
    id: named(id),
    type: 'raster',
    source: named(id),
    paint: { 'raster-resampling': 'nearest', 'raster-fade-duration': 0 },
  });
}

function remove({ map }: GlSheet, id: string): void {
  if (map.getLayer(named(id))) map.removeLayer(named(id));
  if (map.getSource(named(id))) map.removeSource(named(id));
}

/** What was drawn anew on the canvas stays unseen until the source has played for one frame. */
function refresh({ map }: GlSheet, id: string): void {
  const source = map.getSource<CanvasSource>(named(id));
  if (!source) return;
  source.play();
  map.once('render', () => source.pause());
}
