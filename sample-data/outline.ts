/** Rings in local metres: plain lists of corners, not closed, the ground on their left (outer rings counter-clockwise, holes clockwise). */

export type Corner = readonly [east: number, north: number];
export type Ring = readonly Corner[];

export function ringAreaM2(ring: Ring): number {
  let sum = 0;
  for (let i = 0; i < ring.length; i++) {
    const [x1, y1] = ring[i]!;
    const [x2, y2] = ring[(i + 1) % ring.length]!;
    sum += x1 * y2 - x2 * y1;
  }
  return sum / 2;
}

/** The ring moved to its left by `byM`, corners mitred. Only for rings without edges that vanish on the way, as drawn here. */
export function movedLeft(ring: Ring, byM: number): Corner[] {
  return ring.map((corner, i) => {
    const [ax, ay] = direction(ring[(i + ring.length - 1) % ring.length]!, corner);
    const [bx, by] = direction(corner, ring[(i + 1) % ring.length]!);
    const share = byM / (1 + ax * bx + ay * by);
    return [corner[0] + share * (-ay - by), corner[1] + share * (ax + bx)] as const;
  });
}

export function direction([x1, y1]: Corner, [x2, y2]: Corner): [number, number] {
  const length = Math.sqrt((x2 - x1) * (x2 - x1) + (y2 - y1) * (y2 - y1));
  return [(x2 - x1) / length, (y2 - y1) / length];
}

export function isInside(rings: readonly Ring[], x: number, y: number): boolean {
  let inside = false;
  for (const ring of rings) {
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const [xi, yi] = ring[i]!;
      const [xj, yj] = ring[j]!;
      if (yi > y !== yj > y && x < ((xj - xi) * (y - yi)) / (yj - yi) + xi) inside = !inside;
    }
  }
  return inside;
}

export interface Box {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

export function boxOf(rings: readonly Ring[]): Box {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const ring of rings) {
    for (const [x, y] of ring) {
      minX = Math.min(minX, x);
      minY = Math.min(minY, y);
      maxX = Math.max(maxX, x);
      maxY = Math.max(maxY, y);
    }
  }
  return { minX, minY, maxX, maxY };
}

/** Where the line y = level meets the rings, x ascending: pairs of in and out. */
export function crossings(rings: readonly Ring[], level: number): number[] {
  const found: number[] = [];
  for (const ring of rings) {
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const [xi, yi] = ring[i]!;
      const [xj, yj] = ring[j]!;
      if (yi > level !== yj > level) found.push(((xj - xi) * (level - yi)) / (yj - yi) + xi);
    }
  }
  return found.sort((a, b) => a - b);
}
