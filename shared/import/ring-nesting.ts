/**
 * Polygons out of the loose rings of a shapefile record: a ring inside an odd number of others is a hole, of the smallest one
 * around it. Containment decides, not winding, because writers wind wrong; the disagreement is given back to be told.
 * @source methods-spatial §15; Esri shapefile technical description, July 1998 (outer rings clockwise).
 */
import type { LonLat } from '../geometry/types.ts';

export interface NestedRings {
  /** Outer ring first, then its holes. */
  readonly polygons: LonLat[][][];
  /** Rings wound against their place (outer clockwise, hole counter-clockwise is right in a shapefile). */
  readonly woundWrong: number;
}

/** @param rings closed or unclosed, finite corners in any planar unit @cost O(rings² + corners × rings with nested boxes) */
export function nestRings(rings: readonly LonLat[][]): NestedRings {
  const areas = rings.map(signedArea);
  const boxes = rings.map(boxOf);
  const holders = rings.map((ring, i) => {
    const around: number[] = [];
    for (let j = 0; j < rings.length; j++) {
      if (Math.abs(areas[j]!) > Math.abs(areas[i]!) && boxInside(boxes[i]!, boxes[j]!) && ringInside(ring, rings[j]!)) {
        around.push(j);
      }
    }
    return around;
  });
  const isHole = (i: number) => holders[i]!.length % 2 === 1;
  const polygonOf = new Map<number, LonLat[][]>();
  rings.forEach((ring, i) => {
    if (!isHole(i)) polygonOf.set(i, [ring]);
  });
  rings.forEach((ring, i) => {
    if (!isHole(i)) return;
    const owner = holders[i]!.filter((j) => !isHole(j)).reduce((a, b) =>
      Math.abs(areas[b]!) < Math.abs(areas[a]!) ? b : a,
    );
    polygonOf.get(owner)!.push(ring);
  });
  const woundWrong = areas.filter((area, i) => area !== 0 && area > 0 !== isHole(i)).length;
  return { polygons: [...polygonOf.values()], woundWrong };
}

/** Twice the signed area; positive counter-clockwise. */
export function signedArea(ring: readonly LonLat[]): number {
  const first = ring[0];
  if (first === undefined) return 0;
  let sum = 0;
  for (let i = 0; i < ring.length; i++) {
    const a = ring[i]!;
    const b = ring[i + 1] ?? first;
    sum += (a[0] - first[0]) * (b[1] - first[1]) - (b[0] - first[0]) * (a[1] - first[1]);
  }
  return sum;
}

function boxOf(ring: readonly LonLat[]): readonly [number, number, number, number] {
  let [w, s, e, n] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of ring) {
    if (x < w) w = x;
    if (x > e) e = x;
    if (y < s) s = y;
    if (y > n) n = y;
  }
  return [w, s, e, n];
}

function boxInside(inner: ReturnType<typeof boxOf>, outer: ReturnType<typeof boxOf>): boolean {
  return inner[0] >= outer[0] && inner[1] >= outer[1] && inner[2] <= outer[2] && inner[3] <= outer[3];
}

/** The first corner, else the first edge's middle, that does not lie on the other ring decides. */
function ringInside(ring: readonly LonLat[], other: readonly LonLat[]): boolean {
  for (const [x, y] of ring) {
    const side = sideOf(x, y, other);
    if (side !== 'on') return side === 'in';
  }
  for (let i = 1; i < ring.length; i++) {
    const side = sideOf((ring[i - 1]![0] + ring[i]![0]) / 2, (ring[i - 1]![1] + ring[i]![1]) / 2, other);
    if (side !== 'on') return side === 'in';
  }
  return false;
}

function sideOf(x: number, y: number, ring: readonly LonLat[]): 'in' | 'out' | 'on' {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [ax, ay] = ring[j]!;
    const [bx, by] = ring[i]!;
    const turn = (bx - ax) * (y - ay) - (by - ay) * (x - ax);
    if (
      turn === 0 &&
      Math.min(ax, bx) <= x &&
      x <= Math.max(ax, bx) &&
      Math.min(ay, by) <= y &&
      y <= Math.max(ay, by)
    ) {
      return 'on';
    }
    if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) inside = !inside;
  }
  return inside ? 'in' : 'out';
}
