/**
 * Loose rings to polygons: outer rings counter-clockwise, each hole with the smallest outer ring about it.
 */
import { ringAreaM2, ringBounds, ringLengthM } from './ring.ts';
import type { Bounds, FlatMultiPolygon, FlatPolygon, FlatRing } from './types.ts';

/** Corners of an overlay lie on this grid. */
const GRID_M = 1e-4;

/**
 * Polygons from rings whose winding says what they are. Rings may touch at points; they share no stretch and do not cross.
 * @returns the largest first
 * @throws where a hole lies in no outer ring
 * @cost O(outer rings × holes) boxes, and a point test for those that meet
 */
export function nestRings(rings: readonly FlatRing[]): FlatMultiPolygon {
  const outers: { polygon: FlatPolygon; box: Bounds; areaM2: number }[] = [];
  const holes: FlatRing[] = [];
  for (const ring of rings) {
    const areaM2 = ringAreaM2(ring);
    if (areaM2 > 0) outers.push({ polygon: [ring], box: ringBounds(ring), areaM2 });
    else if (areaM2 < 0) holes.push(ring);
  }
  outers.sort((a, b) => a.areaM2 - b.areaM2);
  for (const hole of holes) {
    // As no stretch is shared, the middle of an edge of the hole lies clearly in or out; the longest edge is the surest.
    const [x, y] = middleOfLongestEdge(hole);
    const home = outers.find(
      ({ polygon, box }) => x >= box[0] && x <= box[2] && y >= box[1] && y <= box[3] && ringHolds(polygon[0]!, x, y),
    );
    if (home !== undefined) home.polygon.push(hole);
    // A loop thinner than the grid of the overlay is what rounding left of a touching edge: no ground is in it.
    else if (-ringAreaM2(hole) > GRID_M * ringLengthM(hole))
      throw new Error(`nestRings: a hole of ${-ringAreaM2(hole)} m² lies in no outer ring`);
  }
  outers.sort((a, b) => b.areaM2 - a.areaM2);
  return outers.map(({ polygon }) => polygon);
}

function middleOfLongestEdge(ring: FlatRing): [number, number] {
  let longest2 = -1;
  let middle: [number, number] = [NaN, NaN];
  for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2) {
    const dx = ring[i]! - ring[j]!;
    const dy = ring[i + 1]! - ring[j + 1]!;
    if (dx * dx + dy * dy > longest2) {
      longest2 = dx * dx + dy * dy;
      middle = [ring[j]! + dx / 2, ring[j + 1]! + dy / 2];
    }
  }
  return middle;
}

function ringHolds(ring: FlatRing, x: number, y: number): boolean {
  let inside = false;
  for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2) {
    const y0 = ring[j + 1]!;
    const y1 = ring[i + 1]!;
    if (y0 <= y === y1 <= y) continue;
    if (x < ring[j]! + ((y - y0) * (ring[i]! - ring[j]!)) / (y1 - y0)) inside = !inside;
  }
  return inside;
}
