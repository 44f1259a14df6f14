/** A canvas with one field's grid on it, cut at the boundary, and its place on the map. */
import type { CanvasSource } from 'maplibre-gl';
import type { MapGrid } from '../state/answers.ts';
import type { FieldShape } from './field-shapes.ts';
import type { GlSheet } from './gl-sheet.ts';
import { cornersOf, inFrame, insideOf, type SurfaceLook, surfacePixels } from './surface-pixels.ts';

/** Drawn by the processor: the map library reads it back. */
const CPU: CanvasRenderingContext2DSettings = { willReadFrequently: true };

export class SurfaceCanvas {
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

  /** @param grid of the same ground; its values may be others */
  paint(grid: MapGrid, look: SurfaceLook): void {
    const pixels = surfacePixels(grid, this.inside, look);
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

export function addSurface({ map, put }: GlSheet, id: string, { canvas, grid }: SurfaceCanvas): void {
  map.addSource(id, { type: 'canvas', canvas, animate: false, coordinates: cornersOf(grid) } as never);
  put({ id, type: 'raster', source: id, paint: { 'raster-resampling': 'nearest', 'raster-fade-duration': 0 } });
}

export function removeSurface({ map }: GlSheet, id: string): void {
  if (map.getLayer(id)) map.removeLayer(id);
  if (map.getSource(id)) map.removeSource(id);
}

/** What was drawn anew on the canvas stays unseen until the source has played for one frame. */
export function refreshSurface({ map }: GlSheet, id: string): void {
  const source = map.getSource<CanvasSource>(id);
  if (!source) return;
  source.play();
  map.once('render', () => source.pause());
}
