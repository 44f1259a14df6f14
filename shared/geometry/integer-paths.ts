/**
 * Between metres and the whole numbers that overlays are done in: 0.1 mm of the frame, shifted to the middle of the inputs
 * by whole steps (the grid stays the same), and turned where an overlay is tried again.
 */
import { nestRings } from './nesting.ts';
import { ringAreaM2 } from './ring.ts';
import type { FlatMultiPolygon, FlatRing } from './types.ts';

export interface PathPoint {
  x: number;
  y: number;
}
export type Path = PathPoint[];

/** What is read of the library's tree: outer rings, their holes, the islands in those. */
export interface PathTree {
  readonly count: number;
  readonly poly: Path | null;
  child(index: number): PathTree;
}

/** Grid lines a metre. */
export const PER_METRE = 1e4;
/**
 * Inputs larger than a frame is good for are a mistake of units. Below ±4.7 km all integer products stay under 2⁵³;
 * above, the library multiplies in long integers.
 */
const HALF_EXTENT_M = 50_000;

export interface IntegerFrame {
  readonly x: number;
  readonly y: number;
  readonly cos: number;
  readonly sin: number;
}

/** @param marginM how far a result may reach beyond the inputs @param turnRad about their middle */
export function integerFrame(areas: readonly FlatMultiPolygon[], marginM = 0, turnRad = 0): IntegerFrame {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const area of areas) {
    for (const rings of area) {
      const outer = rings[0];
      if (outer === undefined) continue;
      for (let i = 0; i < outer.length; i += 2) {
        const x = outer[i]!;
        const y = outer[i + 1]!;
        if (!Number.isFinite(x) || !Number.isFinite(y)) throw new RangeError(`clip: a corner is no place: ${x}, ${y}`);
        minX = Math.min(minX, x);
        maxX = Math.max(maxX, x);
        minY = Math.min(minY, y);
        maxY = Math.max(maxY, y);
      }
    }
  }
  const turn = { cos: Math.cos(turnRad), sin: Math.sin(turnRad) };
  if (!(minX <= maxX)) return { x: 0, y: 0, ...turn };
  if (maxX - minX + 2 * marginM > 2 * HALF_EXTENT_M || maxY - minY + 2 * marginM > 2 * HALF_EXTENT_M) {
    throw new RangeError(`clip: an area of ${maxX - minX} m by ${maxY - minY} m is too large for one frame`);
  }
  return {
    x: Math.round(((minX + maxX) / 2) * PER_METRE),
    y: Math.round(((minY + maxY) / 2) * PER_METRE),
    ...turn,
  };
}

export function pathOf(ring: FlatRing, frame: IntegerFrame, reversed: boolean): Path {
  const corners = ring.length / 2;
  const { cos, sin } = frame;
  const path: Path = new Array<PathPoint>(corners);
  for (let i = 0; i < corners; i++) {
    const from = 2 * (reversed ? corners - 1 - i : i);
    const x = Math.round(ring[from]! * PER_METRE) - frame.x;
    const y = Math.round(ring[from + 1]! * PER_METRE) - frame.y;
    path[i] = sin === 0 ? { x, y } : { x: Math.round(x * cos - y * sin), y: Math.round(x * sin + y * cos) };
  }
  return path;
}

/** Rings as paths, each wound as its place in the polygon asks. */
export function pathsOf(area: FlatMultiPolygon, frame: IntegerFrame): Path[] {
  const paths: Path[] = [];
  for (const rings of area) {
    rings.forEach((ring, index) => {
      if (ring.length >= 6) paths.push(pathOf(ring, frame, ringAreaM2(ring) < 0 === (index === 0)));
    });
  }
  return paths;
}

function ringOf(path: Path, { x, y, cos, sin }: IntegerFrame): FlatRing {
  const ring = new Float64Array(2 * path.length);
  for (let i = 0; i < path.length; i++) {
    const point = path[i]!;
    ring[2 * i] = (x + point.x * cos + point.y * sin) / PER_METRE;
    ring[2 * i + 1] = (y - point.x * sin + point.y * cos) / PER_METRE;
  }
  return ring;
}

/** Signed area of paths in m²: outer rings less holes. */
export function pathsAreaM2(paths: readonly Path[]): number {
  let twice = 0;
  for (const path of paths) {
    for (let i = 0, j = path.length - 1; i < path.length; j = i++) {
      twice += path[j]!.x * path[i]!.y - path[i]!.x * path[j]!.y;
    }
  }
  return twice / 2 / PER_METRE / PER_METRE;
}

/** Length of closed paths in m. */
export function pathsLengthM(paths: readonly Path[]): number {
  let sum = 0;
  for (const path of paths) {
    for (let i = 0, j = path.length - 1; i < path.length; j = i++) {
      const dx = path[i]!.x - path[j]!.x;
      const dy = path[i]!.y - path[j]!.y;
      sum += Math.sqrt(dx * dx + dy * dy);
    }
  }
  return sum / PER_METRE;
}

/** A path without corners at which it turns straight back. */
function withoutSpikes(path: Path): Path {
  const turnsBack = (a: PathPoint, b: PathPoint, c: PathPoint) => {
    const [ux, uy, vx, vy] = [b.x - a.x, b.y - a.y, c.x - b.x, c.y - b.y];
    return ux * vy - uy * vx === 0 && ux * vx + uy * vy <= 0;
  };
  const kept: Path = [];
  for (const point of path) {
    kept.push(point);
    while (kept.length > 2 && turnsBack(kept.at(-3)!, kept.at(-2)!, point)) kept.splice(-2, 1);
  }
  while (kept.length > 2) {
    if (turnsBack(kept.at(-2)!, kept.at(-1)!, kept[0]!)) kept.pop();
    else if (turnsBack(kept.at(-1)!, kept[0]!, kept[1]!)) kept.shift();
    else break;
  }
  return kept.length > 2 ? kept : [];
}

/** A path cut where it comes back to one of its own corners, so that every ring is simple; itself if it never does. */
function loopsOf(path: Path): Path[] {
  if (path.length === 0) return [];
  const hash = ({ x, y }: PathPoint) => x * 94906267 + y;
  if (new Set(path.map(hash)).size === path.length) return [path];
  const loops: Path[] = [];
  const open: Path = [];
  const openAt = new Map<string, number>();
  for (const point of path) {
    const key = `${point.x} ${point.y}`;
    const start = openAt.get(key);
    if (start !== undefined) {
      const loop = open.splice(start);
      for (const gone of loop) openAt.delete(`${gone.x} ${gone.y}`);
      if (loop.length > 2) loops.push(loop);
    }
    openAt.set(key, open.length);
    open.push(point);
  }
  if (open.length > 2) loops.push(open);
  return loops;
}

/**
 * The library's tree as an area of simple rings.
 * @param simple false leaves rings that touch themselves as they are
 * @throws where loops of a ring cannot be nested
 */
export function areaOf(
  tree: PathTree,
  frame: IntegerFrame,
  simple = true,
  into: FlatMultiPolygon = [],
): FlatMultiPolygon {
  for (let i = 0; i < tree.count; i++) {
    const outer = tree.child(i);
    const paths: Path[] = [outer.poly!];
    for (let h = 0; h < outer.count; h++) paths.push(outer.child(h).poly!);
    const loops = simple ? paths.map((path) => loopsOf(withoutSpikes(path))) : paths.map((path) => [path]);
    const rings = loops.flat().map((path) => ringOf(path, frame));
    if (loops.every((some) => some.length === 1)) into.push(rings);
    else into.push(...nestRings(rings));
    for (let h = 0; h < outer.count; h++) areaOf(outer.child(h), frame, simple, into); // islands within the holes
  }
  return into;
}
