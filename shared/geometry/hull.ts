import type { FlatRing } from './types.ts';

/**
 * Convex hull of places, counter-clockwise, without places on its edges. One place gives one corner, places on a line
 * two. (Andrew's monotone chain.)
 * @param xM metres @param yM metres
 * @cost O(n log n)
 */
export function convexHull(xM: ArrayLike<number>, yM: ArrayLike<number>): FlatRing {
  const order = Array.from({ length: xM.length }, (_, i) => i).sort((a, b) => xM[a]! - xM[b]! || yM[a]! - yM[b]!);
  const half = (ids: readonly number[]): number[] => {
    const chain: number[] = [];
    for (const id of ids) {
      while (chain.length >= 2 && turn(chain[chain.length - 2]!, chain[chain.length - 1]!, id) <= 0) chain.pop();
      chain.push(id);
    }
    return chain;
  };
  const turn = (a: number, b: number, c: number): number =>
    (xM[b]! - xM[a]!) * (yM[c]! - yM[a]!) - (yM[b]! - yM[a]!) * (xM[c]! - xM[a]!);
  const distinct = order.filter((id, i) => i === 0 || xM[id] !== xM[order[i - 1]!] || yM[id] !== yM[order[i - 1]!]);
  const ids =
    distinct.length < 2 ? distinct : [...half(distinct).slice(0, -1), ...half([...distinct].reverse()).slice(0, -1)];
  return Float64Array.from(ids.flatMap((id) => [xM[id]!, yM[id]!]));
}

/**
 * Distance from a place to a convex hull, m; 0 inside. A hull grown by r holds what lies at most r away: corners round.
 * @param hull from `convexHull`
 * @cost O(corners)
 */
export function distanceToHullM(hull: FlatRing, x: number, y: number): number {
  const corners = hull.length / 2;
  if (corners === 0) return Infinity;
  let inside = corners > 2;
  let least2 = Infinity;
  for (let i = 0, j = corners - 1; i < corners; j = i++) {
    const ax = hull[2 * j]!;
    const ay = hull[2 * j + 1]!;
    const dx = hull[2 * i]! - ax;
    const dy = hull[2 * i + 1]! - ay;
    const px = x - ax;
    const py = y - ay;
    if (dx * py - dy * px < 0) inside = false;
    const length = dx * dx + dy * dy;
    const t = length > 0 ? Math.max(0, Math.min(1, (px * dx + py * dy) / length)) : 0;
    const ex = px - t * dx;
    const ey = py - t * dy;
    const d2 = ex * ex + ey * ey;
    if (d2 < least2) least2 = d2;
  }
  return inside ? 0 : Math.sqrt(least2);
}
