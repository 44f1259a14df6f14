/** The way of a combine as flat numbers for the graphics card. */
import type { Bounds } from '../../shared/geometry/types.ts';
import type { ShownPath } from '../state/answers.ts';
import { frameMercator } from './frame-mercator.ts';
import { mercatorPerM } from './mercator.ts';

export type Paths = ReadonlyMap<string, ShownPath>;
export const NO_PATHS: Paths = new Map();

/**
 * Words a point, as a texel holds them: floats of Mercator x and y less the origin and of seconds since the first point; then bits:
 * the stretch without a gap (upper half), one more than the pass (lower half; 0 outside of passes).
 */
export const WORDS_A_POINT = 4;
/** Texels a row of the texture: every card has room for that many. */
export const TEXELS_A_ROW = 2048;
const HALF = 0xffff;
/** Floats a tick: Mercator x and y less the origin, unit vector across the way (y southward), seconds since the first point. */
export const FLOATS_A_TICK = 5;

export interface PathPoints {
  readonly path: ShownPath;
  /** Mercator. */
  readonly origin: readonly [x: number, y: number];
  readonly mercatorPerM: number;
  /** Whole rows of texels. */
  readonly points: Uint32Array;
  readonly count: number;
  readonly ticks: Float32Array;
  /** Least and most Mercator x and y. */
  readonly box: Bounds;
}

const made = new WeakMap<ShownPath, PathPoints>();

/** Made once of each path. */
export function pointsOf(path: ShownPath): PathPoints {
  const points = made.get(path) ?? pathPoints(path);
  made.set(path, points);
  return points;
}

export function pathPoints(path: ShownPath): PathPoints {
  const count = path.timeS.length;
  const frame = frameMercator(path.origin, boxOf(path));
  const points = new Uint32Array(Math.ceil(count / TEXELS_A_ROW) * TEXELS_A_ROW * WORDS_A_POINT);
  const floats = new Float32Array(points.buffer);
  const ticks: number[] = [];
  let [west, north, east, south] = [Infinity, Infinity, -Infinity, -Infinity];
  let stretch = 0;
  let minute = 0;
  for (let i = 0; i < count; i++) {
    const at = i * WORDS_A_POINT;
    frame.put(path.xM[i]!, path.yM[i]!, floats, at);
    const [x, y] = [floats[at]!, floats[at + 1]!];
    const sinceS = path.timeS[i]! - path.timeS[0]!;
    floats[at + 2] = sinceS;
    const pass = path.pass[i]!;
    points[at + 3] = ((stretch & HALF) << 16) | (pass < 0 ? 0 : 1 + (pass % HALF));
    if (path.running[i] === 0) stretch++;
    if (Math.floor(sinceS / 60) > minute) {
      minute = Math.floor(sinceS / 60);
      const heading = (path.headingDeg[i]! * Math.PI) / 180;
      ticks.push(x, y, Math.cos(heading), Math.sin(heading), sinceS);
    }
    [west, east] = [Math.min(west, x), Math.max(east, x)];
    [north, south] = [Math.min(north, y), Math.max(south, y)];
  }
  const [x0, y0] = frame.origin;
  return {
    path,
    origin: frame.origin,
    mercatorPerM: mercatorPerM(path.origin[1]),
    points,
    count,
    ticks: Float32Array.from(ticks),
    box: [x0 + west, y0 + north, x0 + east, y0 + south],
  };
}

function boxOf({ xM, yM }: ShownPath): Bounds {
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < xM.length; i++) {
    [west, east] = [Math.min(west, xM[i]!), Math.max(east, xM[i]!)];
    [south, north] = [Math.min(south, yM[i]!), Math.max(north, yM[i]!)];
  }
  return xM.length === 0 ? [0, 0, 0, 0] : [west, south, east, north];
}

/** At most this many points are drawn while the map moves: passes stay lines, also where the processor draws them. */
export const POINTS_WHILE_MOVING = 12_000;

/** Each how many-th point is drawn, so that no more than that many are. */
export function strideFor(points: number, most: number): number {
  return points <= most ? 1 : Math.ceil(points / most);
}

/** The segments (from each so many-th point to the next) that a stretch of time touches: first, and one behind the last. */
export function segmentsWithin(
  { path, count }: Pick<PathPoints, 'path' | 'count'>,
  [fromS, untilS]: readonly [number, number],
  stride: number,
): readonly [first: number, end: number] {
  const all = Math.ceil((count - 1) / stride);
  const first = Math.floor(Math.max(0, pointAt(path, fromS)) / stride);
  return [first, Math.min(all, Math.ceil((pointAt(path, untilS) + 1) / stride))];
}

/** Where the machine stands: like a tick, without its time. */
export function machineAt({ path, points }: PathPoints, atS: number): readonly [number, number, number, number] | null {
  const at = pointAt(path, atS);
  if (at < 0) return null;
  const next = Math.min(at + 1, path.timeS.length - 1);
  const gapS = path.timeS[next]! - path.timeS[at]!;
  const share = gapS > 0 ? Math.min(1, (atS - (path.timeS[at]! - path.timeS[0]!)) / gapS) : 0;
  const floats = new Float32Array(points.buffer);
  const of = (k: number) => {
    const [from, to] = [floats[at * WORDS_A_POINT + k]!, floats[next * WORDS_A_POINT + k]!];
    return from + share * (to - from);
  };
  const heading = (path.headingDeg[at]! * Math.PI) / 180;
  return [of(0), of(1), Math.cos(heading), Math.sin(heading)];
}

/** Index of the last point at or before a time, seconds since the first point; −1 before it. */
export function pointAt(path: Pick<ShownPath, 'timeS'>, atS: number): number {
  const { timeS } = path;
  let [low, high] = [-1, timeS.length - 1];
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if (timeS[middle]! - timeS[0]! <= atS) low = middle;
    else high = middle - 1;
  }
  return low;
}
