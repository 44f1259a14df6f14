/** Small drawings for the map: patterns that tile, and marks. Drawn twice as large as shown, so that they are sharp. */
import type { Inks } from './inks.ts';

export const PIXEL_RATIO = 2;

/** A drawing of `size` CSS pixels a side. */
export function drawnImage(size: number, draw: (context: CanvasRenderingContext2D) => void): ImageData {
  const canvas = document.createElement('canvas');
  canvas.width = canvas.height = size * PIXEL_RATIO;
  const context = canvas.getContext('2d', { willReadFrequently: true })!;
  context.scale(PIXEL_RATIO, PIXEL_RATIO);
  draw(context);
  return context.getImageData(0, 0, canvas.width, canvas.height);
}

/** Lines of ink with a halo about them, so that they stand on any ground. */
export function inkMark(
  boxPx: number,
  lines: string,
  inks: Pick<Inks, 'halo' | 'ink' | 'bold'>,
  { haloPx, inkPx }: { haloPx: number; inkPx: number },
): ImageData {
  return drawnImage(boxPx, (context) => {
    const path = new Path2D(lines);
    context.lineJoin = context.lineCap = 'round';
    context.strokeStyle = inks.halo;
    context.lineWidth = haloPx;
    context.stroke(path);
    context.strokeStyle = inks.ink;
    context.lineWidth = inkPx * inks.bold;
    context.stroke(path);
  });
}

/** Diagonal lines that meet at the edges of the tile. */
export function hatchTile(color: string, widthPx: number, tilePx: number): ImageData {
  return drawnImage(tilePx, (context) => {
    context.strokeStyle = color;
    context.lineWidth = widthPx;
    context.beginPath();
    for (const shift of [-tilePx, 0, tilePx]) {
      context.moveTo(shift - 2, tilePx + 2);
      context.lineTo(shift + tilePx + 2, -2);
    }
    context.stroke();
  });
}

export function stippleTile(color: string, radiusPx: number, tilePx: number): ImageData {
  return drawnImage(tilePx, (context) => {
    context.fillStyle = color;
    for (const at of [0.25, 0.75]) {
      context.beginPath();
      context.arc(at * tilePx, at * tilePx, radiusPx, 0, 2 * Math.PI);
      context.fill();
    }
  });
}
