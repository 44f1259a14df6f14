/**
 * One ring in metres of the frame: area, length, box, winding, and whether it crosses itself.
 */
import type { Bounds, FlatRing } from './types.ts';

function cornersOf(name: string, ring: Float64Array): number {
  if (ring.length % 2 !== 0)
    throw new RangeError(`${name}: expected an even number of coordinates, got ${ring.length}`);
  return ring.length / 2;
}

/**
 * Signed area: ½ Σ (x_i y_i+1 − x_i+1 y_i), positive for counter-clockwise rings. The first corner is subtracted first:
 * with coordinates of 1e6 the sum would lose 1e-4 m².
 * @returns m²; 0 for fewer than three corners
 * @throws RangeError for an odd number of coordinates
 * @cost O(n)
 */
export function ringAreaM2(ring: FlatRing): number {
  const corners = cornersOf('ringAreaM2', ring);
  if (corners < 3) return 0;
  const x0 = ring[0]!;
  const y0 = ring[1]!;
  let twice = 0;
  let ax = ring[2]! - x0;
  let ay = ring[3]! - y0;
  for (let i = 4; i < ring.length; i += 2) {
    const bx = ring[i]! - x0;
    const by = ring[i + 1]! - y0;
    twice += ax * by - bx * ay;
    ax = bx;
    ay = by;
  }
  return twice / 2;
}

/** Whether the ring runs clockwise (a hole's way). */
export function ringIsClockwise(ring: FlatRing): boolean {
  return ringAreaM2(ring) < 0;
}

/**
 * Length of the closed ring.
 * @returns m
 */
export function ringLengthM(ring: FlatRing): number {
  const corners = cornersOf('ringLengthM', ring);
  let sumM = 0;
  for (let i = 0, j = corners - 1; i < corners; j = i++) {
    const dx = ring[2 * i]! - ring[2 * j]!;
    const dy = ring[2 * i + 1]! - ring[2 * j + 1]!;
    sumM += Math.sqrt(dx * dx + dy * dy);
  }
  return sumM;
}

/** The ring the other way round; its first corner stays first. */
export function reverseRing(ring: FlatRing): FlatRing {
  const corners = cornersOf('reverseRing', ring);
  const turned = new Float64Array(ring.length);
  for (let i = 0; i < corners; i++) {
    const from = 2 * ((corners - i) % corners);
    turned[2 * i] = ring[from]!;
    turned[2 * i + 1] = ring[from + 1]!;
  }
  return turned;
}

/**
 * The box about a ring.
 * @returns min x, min y, max x, max y; metres; [∞, ∞, −∞, −∞] for no corner
 */
export function ringBounds(ring: FlatRing): Bounds {
  let minX = Infinity;
  let minY = Infinity;
  let maxX = -Infinity;
  let maxY = -Infinity;
  for (let i = 0; i < ring.length; i += 2) {
    const x = ring[i]!;
    const y = ring[i + 1]!;
    if (x < minX) minX = x;
    if (x > maxX) maxX = x;
    if (y < minY) minY = y;
    if (y > maxY) maxY = y;
  }
  return [minX, minY, maxX, maxY];
}

/**
 * Where a ring first crosses itself (along the sweep), or null. Crossing means passing through to the other side, or
 * running along itself for a stretch; merely touching itself at a point is allowed. Doubled corners are skipped.
 * Edges are swept along the axis in which they overlap less, so that the passes of a zigzag are not all alive at once.
 * @returns x, y in metres
 * @cost O(n log n + k) for k pairs of edges whose boxes overlap along the sweep; 2000 corners in about a millisecond
 */
export function ringIsSelfCrossing(ring: FlatRing): [x: number, y: number] | null {
  const points = withoutRepeats(ring);
  const count = points.length / 2;
  if (count < 3) return null;
  if (count <= 16) {
    for (let e = 1; e < count; e++) {
      for (let f = 0; f < e; f++) {
        const place = edgesCross(points, count, e, f);
        if (place !== null) return place;
      }
    }
    return null;
  }

  // The axis with the smaller total extent of edges, relative to the ring's own.
  const bounds = ringBounds(points);
  let extentX = 0;
  let extentY = 0;
  for (let i = 0, j = count - 1; i < count; j = i++) {
    extentX += Math.abs(points[2 * i]! - points[2 * j]!);
    extentY += Math.abs(points[2 * i + 1]! - points[2 * j + 1]!);
  }
  const widthX = bounds[2] - bounds[0] || 1;
  const widthY = bounds[3] - bounds[1] || 1;
  const along = extentX / widthX <= extentY / widthY ? 0 : 1;
  const across = 1 - along;

  const low = new Float64Array(count);
  const high = new Float64Array(count);
  const acrossLow = new Float64Array(count);
  const acrossHigh = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const j = (i + 1) % count;
    low[i] = Math.min(points[2 * i + along]!, points[2 * j + along]!);
    high[i] = Math.max(points[2 * i + along]!, points[2 * j + along]!);
    acrossLow[i] = Math.min(points[2 * i + across]!, points[2 * j + across]!);
    acrossHigh[i] = Math.max(points[2 * i + across]!, points[2 * j + across]!);
  }
  const order = Uint32Array.from({ length: count }, (_, i) => i).sort((a, b) => low[a]! - low[b]! || a - b);
  const alive: number[] = [];
  for (const edge of order) {
    let kept = 0;
    for (let k = 0; k < alive.length; k++) {
      const other = alive[k]!;
      if (high[other]! < low[edge]!) continue;
      alive[kept++] = other;
      if (acrossHigh[other]! < acrossLow[edge]! || acrossLow[other]! > acrossHigh[edge]!) continue;
      const place = edgesCross(points, count, edge, other);
      if (place !== null) return place;
    }
    alive.length = kept;
    alive.push(edge);
  }
  return null;
}

function withoutRepeats(ring: FlatRing): Float64Array {
  const corners = cornersOf('ringIsSelfCrossing', ring);
  const kept = new Float64Array(ring.length);
  let length = 0;
  for (let i = 0, j = corners - 1; i < corners; j = i++) {
    if (ring[2 * i] === ring[2 * j] && ring[2 * i + 1] === ring[2 * j + 1]) continue;
    kept[length++] = ring[2 * i]!;
    kept[length++] = ring[2 * i + 1]!;
  }
  return length === ring.length ? kept : kept.subarray(0, length);
}

/** Twice the area of a, b, c: positive where c lies left of a → b. */
function turn(ax: number, ay: number, bx: number, by: number, cx: number, cy: number): number {
  return (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
}

function edgesCross(points: Float64Array, count: number, e: number, f: number): [number, number] | null {
  const e1 = (e + 1) % count;
  const f1 = (f + 1) % count;
  const ax = points[2 * e]!;
  const ay = points[2 * e + 1]!;
  const bx = points[2 * e1]!;
  const by = points[2 * e1 + 1]!;
  const cx = points[2 * f]!;
  const cy = points[2 * f + 1]!;
  const dx = points[2 * f1]!;
  const dy = points[2 * f1 + 1]!;
  const c = turn(ax, ay, bx, by, cx, cy);
  const d = turn(ax, ay, bx, by, dx, dy);
  if ((c > 0 && d > 0) || (c < 0 && d < 0)) return null;
  const a = turn(cx, cy, dx, dy, ax, ay);
  const b = turn(cx, cy, dx, dy, bx, by);
  if (((c > 0 && d < 0) || (c < 0 && d > 0)) && ((a > 0 && b < 0) || (a < 0 && b > 0))) {
    const share = a / (a - b);
    return [ax + share * (bx - ax), ay + share * (by - ay)];
  }
  if (c === 0 && d === 0) return stretchShared(ax, ay, bx, by, cx, cy, dx, dy);

  // A corner of one edge lies on the other: crossing only if the ring changes sides there. Both edges that meet in a
  // corner see the same contact; the outcome is the same from each.
  const contact =
    c === 0 && within(ax, ay, bx, by, cx, cy)
      ? f
      : d === 0 && within(ax, ay, bx, by, dx, dy)
        ? f1
        : a === 0 && within(cx, cy, dx, dy, ax, ay)
          ? e
          : b === 0 && within(cx, cy, dx, dy, bx, by)
            ? e1
            : -1;
  if (contact < 0 || e1 === f || f1 === e) return null;
  const px = points[2 * contact]!;
  const py = points[2 * contact + 1]!;
  const first = passing(points, count, e, px, py);
  const second = passing(points, count, f, px, py);
  if (first === null || second === null) return null;
  return changesSides(points, px, py, first, second) ? [px, py] : null;
}

/** The corners before and after a place on an edge: the edge's own ends, or the neighbours where the place is a corner. */
function passing(
  points: Float64Array,
  count: number,
  edge: number,
  px: number,
  py: number,
): { before: number; after: number } | null {
  const end = (edge + 1) % count;
  if (points[2 * edge] === px && points[2 * edge + 1] === py) return { before: (edge - 1 + count) % count, after: end };
  if (points[2 * end] === px && points[2 * end + 1] === py) return { before: edge, after: (end + 1) % count };
  return { before: edge, after: end };
}

function changesSides(
  points: Float64Array,
  px: number,
  py: number,
  first: { before: number; after: number },
  second: { before: number; after: number },
): boolean {
  const angle = (i: number) => Math.atan2(points[2 * i + 1]! - py, points[2 * i]! - px);
  const base = angle(first.before);
  const fold = (value: number) => {
    const turned = value - base;
    return turned < 0 ? turned + 2 * Math.PI : turned;
  };
  const wedge = fold(angle(first.after));
  const inside = fold(angle(second.before)) - wedge;
  const outside = fold(angle(second.after)) - wedge;
  const onRay = (index: number) => fold(angle(index)) === 0 || fold(angle(index)) === wedge;
  if (onRay(second.before) || onRay(second.after)) return false; // a shared stretch is found by its own pair of edges
  return inside < 0 !== outside < 0;
}

function within(ax: number, ay: number, bx: number, by: number, px: number, py: number): boolean {
  return px >= Math.min(ax, bx) && px <= Math.max(ax, bx) && py >= Math.min(ay, by) && py <= Math.max(ay, by);
}

/** The middle of the stretch that two edges on one line share, or null where they share a point at most. */
function stretchShared(
  ax: number,
  ay: number,
  bx: number,
  by: number,
  cx: number,
  cy: number,
  dx: number,
  dy: number,
): [number, number] | null {
  const lowX = Math.max(Math.min(ax, bx), Math.min(cx, dx));
  const highX = Math.min(Math.max(ax, bx), Math.max(cx, dx));
  const lowY = Math.max(Math.min(ay, by), Math.min(cy, dy));
  const highY = Math.min(Math.max(ay, by), Math.max(cy, dy));
  if (lowX > highX || lowY > highY || (lowX === highX && lowY === highY)) return null;
  return [(lowX + highX) / 2, (lowY + highY) / 2];
}
