/** From where ways are seen: the map's matrix, moved to the origin of one path, and how long a meter is on screen. */
import type { PathPoints } from './path-points.ts';
import { channelsOf } from './ramp.ts';

export interface Screen {
  readonly matrix: ArrayLike<number>;
  readonly halfPx: readonly [number, number];
  /** Device pixels a CSS pixel. */
  readonly ratio: number;
  /** Each so many-th point is drawn. */
  readonly stride: number;
}

export interface Sight extends Screen {
  /** For coordinates less the origin of the path. */
  readonly moved: Float32Array;
  readonly pxPerM: number;
  /** Seconds between which the way is drawn. */
  readonly time: readonly [from: number, until: number];
}

const FOREVER: readonly [number, number] = [-1, 1e9];

/** @param untilS up to here, seconds since the first point; null: the whole way */
export function sightOf(points: PathPoints, screen: Screen, untilS: number | null): Sight {
  const moved = movedTo(screen.matrix, points.origin);
  const pxPerM = pxPerUnit(moved, screen.halfPx) * points.mercatorPerM;
  return { ...screen, moved, pxPerM, time: untilS === null ? FOREVER : [-1, untilS] };
}

export function isSeen({ box: [west, north, east, south] }: PathPoints, m: ArrayLike<number>): boolean {
  const at = (x: number, y: number) => {
    const w = m[3]! * x + m[7]! * y + m[15]!;
    return [(m[0]! * x + m[4]! * y + m[12]!) / w, (m[1]! * x + m[5]! * y + m[13]!) / w] as const;
  };
  const [x0, y0] = at(west, north);
  const [x1, y1] = at(east, south);
  const meets = (a: number, b: number) => Math.min(a, b) <= 1 && Math.max(a, b) >= -1;
  return meets(x0, x1) && meets(y0, y1);
}

export function rgb(color: string): [number, number, number] {
  const [red, green, blue] = channelsOf(color);
  return [red / 255, green / 255, blue / 255];
}

/** The matrix for coordinates less an origin; in doubles until here. */
function movedTo(m: ArrayLike<number>, [x, y]: readonly [number, number]): Float32Array {
  const moved = Float64Array.from(m);
  for (let row = 0; row < 4; row++) moved[12 + row] = m[row]! * x + m[4 + row]! * y + m[12 + row]!;
  return Float32Array.from(moved);
}

/** Device pixels of one Mercator unit, seen from straight above. */
function pxPerUnit(m: ArrayLike<number>, halfPx: readonly [number, number]): number {
  return (Math.hypot(m[0]!, m[1]!) / m[15]!) * halfPx[0];
}
