/** From Mercator units less an origin to the pixels of a sheet over the map: flat and north up, so that a scale and a shift are all. */
import type { Map } from 'maplibre-gl';
import type { Bounds } from '../../../shared/geometry/types.ts';
import { lonLatOf, TILE_PX } from '../mercator.ts';

export interface OnSheet {
  /** Device pixels a Mercator unit. */
  readonly scale: number;
  /** Of the origin, device pixels. */
  readonly x: number;
  readonly y: number;
  /** Device pixels a CSS pixel. */
  readonly ratio: number;
}

/** The part of the map that a sheet covers, CSS pixels. */
export interface SheetBox {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** Whole pixels about a box of Mercator units, as far as they are in sight: what is smaller is sooner on screen. */
export function sheetBox(map: Map, [x0, y0, x1, y1]: Bounds, aboutPx: number): SheetBox {
  const { clientWidth, clientHeight } = map.getCanvas();
  const [from, to] = [map.project([...lonLatOf([x0, y0])]), map.project([...lonLatOf([x1, y1])])];
  const within = (px: number, most: number) => Math.min(most, Math.max(0, px));
  const [left, top] = [
    within(Math.floor(from.x - aboutPx), clientWidth),
    within(Math.floor(from.y - aboutPx), clientHeight),
  ];
  return {
    left,
    top,
    width: within(Math.ceil(to.x + aboutPx), clientWidth) - left,
    height: within(Math.ceil(to.y + aboutPx), clientHeight) - top,
  };
}

export function onSheet(map: Map, origin: readonly [number, number], { left, top }: SheetBox): OnSheet {
  const canvas = map.getCanvas();
  const ratio = canvas.width / Math.max(1, canvas.clientWidth);
  const { x, y } = map.project([...lonLatOf(origin)]);
  return { scale: TILE_PX * 2 ** map.getZoom() * ratio, x: (x - left) * ratio, y: (y - top) * ratio, ratio };
}
