/**
 * Fewer corners without losing area: simplify, then grow or shrink by the lost area over the perimeter.
 * @source methods-spatial §11; tests/reference/contour-zone, tests/reference/polygon-ops
 */
import { buffer } from './clip.ts';
import { checkPolygon, polygonAreaM2, polygonPerimeterM } from './polygon.ts';
import { simplifyLine } from './polyline.ts';
import { ringAreaM2 } from './ring.ts';
import type { FlatMultiPolygon, FlatRing } from './types.ts';

/** Largest change of area that is accepted after it was restored. */
const AREA_KEPT_FRACTION = 0.005;

/**
 * A ring by Douglas–Peucker; its first corner stays. A ring that would lose its area stays as it is.
 */
export function simplifyRing(ring: FlatRing, toleranceM: number): FlatRing {
  const closed = new Float64Array(ring.length + 2);
  closed.set(ring);
  closed.set(ring.subarray(0, 2), ring.length);
  const line = simplifyLine(closed, toleranceM);
  const kept = line.slice(0, -2);
  return kept.length < 6 || ringAreaM2(kept) * ringAreaM2(ring) <= 0 ? ring : kept;
}

/**
 * An area with fewer corners and, within 0.5 %, its old size. Where rings would cross or the area cannot be restored,
 * the tolerance is halved until it holds.
 * @param toleranceM m; at or above 0
 * @returns areas in m²; `toleranceUsedM` is 0 where nothing could be dropped
 */
export function simplifyKeepingArea(
  polygon: FlatMultiPolygon,
  toleranceM: number,
): { polygon: FlatMultiPolygon; areaBeforeM2: number; areaAfterM2: number; toleranceUsedM: number } {
  const areaBeforeM2 = polygonAreaM2(polygon);
  for (let toleranceUsedM = toleranceM; toleranceUsedM > 1e-3; toleranceUsedM /= 2) {
    const fewer = polygon.map((rings) => rings.map((ring) => simplifyRing(ring, toleranceUsedM)));
    if (checkPolygon(fewer).length > 0) continue;
    const restored = restoreArea(fewer, areaBeforeM2);
    const areaAfterM2 = polygonAreaM2(restored);
    if (
      Math.abs(areaAfterM2 - areaBeforeM2) < AREA_KEPT_FRACTION * areaBeforeM2 &&
      restored.length === polygon.length &&
      checkPolygon(restored).length === 0
    ) {
      return { polygon: restored, areaBeforeM2, areaAfterM2, toleranceUsedM };
    }
  }
  return { polygon, areaBeforeM2, areaAfterM2: areaBeforeM2, toleranceUsedM: 0 };
}

/** Two steps of d = ΔA / P bring the area back to a few parts in a million; below the grid's 0.1 mm nothing is moved. */
function restoreArea(polygon: FlatMultiPolygon, areaM2: number): FlatMultiPolygon {
  let restored = polygon;
  for (let step = 0; step < 2; step++) {
    const distanceM = (areaM2 - polygonAreaM2(restored)) / polygonPerimeterM(restored);
    if (!(Math.abs(distanceM) > 1e-4)) break;
    restored = buffer(restored, distanceM, { join: 'mitre' });
  }
  return restored;
}
