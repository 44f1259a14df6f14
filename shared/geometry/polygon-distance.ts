import { indexPolygon } from './polygon-index.ts';
import type { FlatMultiPolygon } from './types.ts';

/** Distance from a place to a polygon's area, m; 0 inside. @cost O(corners) */
export function distanceToPolygonM(polygon: FlatMultiPolygon, x: number, y: number): number {
  if (indexPolygon(polygon).contains(x, y)) return 0;
  let nearest = Infinity;
  for (const ring of polygon.flat()) {
    for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2) {
      const [x0, y0] = [ring[j]!, ring[j + 1]!];
      const [dx, dy] = [ring[i]! - x0, ring[i + 1]! - y0];
      const long = dx * dx + dy * dy;
      const along = long === 0 ? 0 : Math.max(0, Math.min(1, ((x - x0) * dx + (y - y0) * dy) / long));
      nearest = Math.min(nearest, Math.hypot(x - x0 - along * dx, y - y0 - along * dy));
    }
  }
  return nearest;
}
