/** Paths and ticks of all charts; the only file that knows the shape and scale libraries. Coordinates are pixels of the picture. */
import { scaleLinear } from 'd3-scale';
import { area, curveBumpX, curveLinear, curveStepAfter, line } from 'd3-shape';

export interface BandPoint {
  readonly x: number;
  readonly y0: number;
  readonly y1: number;
}

/** Straight from point to point, or level until the next one. */
export type Steps = 'straight' | 'level';
const CURVES = { straight: curveLinear, level: curveStepAfter } as const;

/** The area between two lines; breaks where a point is NaN. */
export function bandPath(points: readonly BandPoint[], steps: Steps = 'straight'): string {
  const make = area<BandPoint>()
    .x((one) => one.x)
    .y0((one) => one.y0)
    .y1((one) => one.y1)
    .defined((one) => !Number.isNaN(one.y0) && !Number.isNaN(one.y1))
    .curve(CURVES[steps])
    .digits(2);
  return make(points) ?? '';
}

export function linePath(
  points: readonly { readonly x: number; readonly y: number }[],
  steps: Steps = 'straight',
): string {
  const make = line<{ readonly x: number; readonly y: number }>()
    .x((one) => one.x)
    .y((one) => one.y)
    .curve(CURVES[steps])
    .digits(2);
  return make(points) ?? '';
}

export interface Ribbon {
  /** Straight from here … */
  readonly x0: number;
  /** … to here, where it leaves the stream, … */
  readonly x1: number;
  /** … and bends until here. */
  readonly x2: number;
  readonly top: number;
  readonly endTop: number;
  readonly thickness: number;
}

/** A branch of a stream, equally thick from its beginning to its end. */
export function ribbonPath({ x0, x1, x2, top, endTop, thickness }: Ribbon): string {
  const make = area<BandPoint>()
    .x((one) => one.x)
    .y0((one) => one.y0)
    .y1((one) => one.y1)
    .digits(2)
    .curve(curveBumpX);
  const at = (x: number, y: number): BandPoint => ({ x, y0: y, y1: y + thickness });
  return make([at(x0, top), at(x1, top), at(x2, endTop)]) ?? '';
}

/** Round values of an axis. */
export function ticksOf(from: number, to: number, about: number): number[] {
  return scaleLinear([from, to], [0, 1]).ticks(about);
}

/** The end of an axis that begins at 0: the value itself or the next round one above it. */
export function roundEnd(value: number): number {
  return value > 0 ? scaleLinear([0, value], [0, 1]).nice(4).domain()[1]! : 1;
}
