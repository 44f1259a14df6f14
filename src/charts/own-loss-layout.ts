/** Where the points, the curves and the band of yield against weed density stand. Densities and yields are in the shown units. */
import type { BandPoint } from './shapes.ts';
import { roundEnd, ticksOf } from './shapes.ts';

export interface LossDrawing {
  readonly points: readonly { readonly density: number; readonly yield: number }[];
  readonly ownAt: (density: number) => number;
  readonly literatureAt: (density: number) => number;
  /** Ends of the own curve at some densities, from 0 to the largest; null where an end is open. */
  readonly band: readonly { readonly density: number; readonly low: number | null; readonly high: number | null }[];
}

export interface LossFrame {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

interface Spot {
  readonly x: number;
  readonly y: number;
}

export interface LossPicture {
  readonly points: readonly Spot[];
  readonly own: readonly Spot[];
  readonly literature: readonly Spot[];
  readonly band: readonly BandPoint[];
  readonly xTicks: readonly { readonly x: number; readonly value: number }[];
  readonly yTicks: readonly { readonly y: number; readonly value: number }[];
}

const CURVE_STEPS = 120;
/** Of the spread of yields, above and below. */
const MARGIN = 0.08;

export function layOutOwnLoss(of: LossDrawing, frame: LossFrame): LossPicture {
  const width = Math.max(1, frame.right - frame.left);
  const farthest = roundEnd(Math.max(...of.points.map((one) => one.density)));
  const yields = of.points.map((one) => one.yield);
  const [least, most] = [Math.min(...yields), Math.max(...yields, of.ownAt(0))];
  const spread = most - least || Math.abs(most) || 1;
  const [from, to] = [Math.max(0, least - MARGIN * spread), most + MARGIN * spread];
  const x = (density: number) => frame.left + (density / farthest) * width;
  const free = (value: number) => frame.bottom - ((value - from) / (to - from)) * (frame.bottom - frame.top);
  /** A curve that leaves the yields seen runs along the edge. */
  const y = (value: number) => Math.min(frame.bottom, Math.max(frame.top, free(value)));
  // Closer where weeds are few: there the curves bend.
  const densities = Array.from({ length: CURVE_STEPS + 1 }, (_, i) => farthest * (i / CURVE_STEPS) ** 2);
  const curve = (at: (density: number) => number) => densities.map((one) => ({ x: x(one), y: y(at(one)) }));
  return {
    points: of.points.map((one) => ({ x: x(one.density), y: free(one.yield) })),
    own: curve(of.ownAt),
    literature: curve(of.literatureAt),
    band: of.band.map(({ density, low, high }) => ({
      x: x(density),
      y0: low === null ? frame.bottom : y(low),
      y1: high === null ? frame.top : y(high),
    })),
    xTicks: ticksOf(0, farthest, width < 420 ? 4 : 7).map((value) => ({ x: x(value), value })),
    yTicks: ticksOf(from, to, 4).map((value) => ({ y: free(value), value })),
  };
}

/** Densities at which the band is asked, closer where weeds are few. */
export function bandDensities(largestPerM2: number, steps = 10): number[] {
  return Array.from({ length: steps + 1 }, (_, i) => largestPerM2 * (i / steps) ** 2);
}
