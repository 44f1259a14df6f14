/** The surface of a field as the combine uncovers it, cell by cell. */
import type { Map } from 'maplibre-gl';
import type { SheetBox } from './on-sheet.ts';
import type { FieldShape } from '../field-shapes.ts';
import type { MapGrid } from '../../state/answers.ts';
import { cornersOf, insideOf, type SurfaceLook, surfacePixels } from '../surface-pixels.ts';

/** Cells overlap a little: else paper would shine through between them. */
const OVERLAP = 0.04;

export class RetracedGround {
  /** Those that are ever uncovered, first to last. */
  private readonly cells: Uint32Array;
  private readonly pixels: Uint8ClampedArray;
  private drawn = 0;

  constructor(
    private readonly shape: FieldShape,
    private readonly surface: MapGrid,
    /** Seconds since the first point of the way; NaN: never. */
    private readonly times: Float32Array,
    look: Omit<SurfaceLook, 'isShown'>,
  ) {
    const isShown = (cell: number) => times[cell] === times[cell];
    this.pixels = surfacePixels(surface, insideOf(surface, shape.boundary), { ...look, isShown });
    const { columns, rows } = surface.grid;
    this.cells = Uint32Array.from({ length: columns * rows }, (_, cell) => cell)
      .filter((cell) => isShown(cell) && this.alphaOf(cell) > 0)
      .sort((a, b) => times[a]! - times[b]!);
  }

  /** On an empty sheet, cut at the boundary. */
  begin(context: CanvasRenderingContext2D, map: Map, { left, top }: SheetBox, ratio: number): void {
    this.drawn = 0;
    const to = ([lon, lat]: readonly [number, number]) => {
      const { x, y } = map.project([lon, lat]);
      return [(x - left) * ratio, (y - top) * ratio] as const;
    };
    context.beginPath();
    for (const ring of this.shape.boundary.flat()) {
      ring.forEach((corner, k) => (k === 0 ? context.moveTo(...to(corner)) : context.lineTo(...to(corner))));
      context.closePath();
    }
    context.clip('evenodd');
    const { columns, rows } = this.surface.grid;
    const [northWest, northEast, , southWest] = cornersOf(this.surface);
    const [x, y] = to(northWest);
    const [east, south] = [to(northEast), to(southWest)];
    context.transform(
      (east[0] - x) / columns,
      (east[1] - y) / columns,
      (south[0] - x) / rows,
      (south[1] - y) / rows,
      x,
      y,
    );
  }

  drawUntil(context: CanvasRenderingContext2D, atS: number): void {
    const { cells, pixels, times } = this;
    const { columns } = this.surface.grid;
    for (; this.drawn < cells.length && times[cells[this.drawn]!]! <= atS; this.drawn++) {
      const cell = cells[this.drawn]!;
      const at = this.pixelOf(cell);
      context.fillStyle = `rgb(${pixels[at]} ${pixels[at + 1]} ${pixels[at + 2]} / ${pixels[at + 3]! / 255})`;
      const row = at / 4 / columns;
      context.fillRect(cell % columns, Math.floor(row), 1 + OVERLAP, 1 + OVERLAP);
    }
  }

  private alphaOf(cell: number): number {
    return this.pixels[this.pixelOf(cell) + 3]!;
  }
  /** Pixels run from the north, cells from the south. */
  private pixelOf(cell: number): number {
    const { columns, rows } = this.surface.grid;
    return 4 * ((rows - 1 - Math.floor(cell / columns)) * columns + (cell % columns));
  }
}
