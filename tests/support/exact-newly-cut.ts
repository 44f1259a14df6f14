/**
 * The judge of newly cut area: every earlier swath is subtracted from the new one, in harvest order, as polygons.
 * @source methods-season §2.3, exact route (Drummond, Fraisse, Sudduth 1998)
 */
import { intersect, subtract, union } from '../../shared/geometry/clip.ts';
import { ringAreaM2 } from '../../shared/geometry/ring.ts';
import type { FlatMultiPolygon } from '../../shared/geometry/types.ts';
import { swathQuads } from '../../shared/harvest/swaths.ts';

export interface PassAreas {
  grossM2: number;
  newM2: number;
  newInsideM2: number;
}

export function areaM2(area: FlatMultiPolygon): number {
  let sum = 0;
  for (const rings of area) for (const ring of rings) sum += ringAreaM2(ring);
  return sum;
}

/** Area that each pass adds, and the union of all of them. */
export function exactNewlyCut(
  passes: readonly (readonly [number, number][])[],
  widthM: number,
  field: FlatMultiPolygon | null,
): { passes: PassAreas[]; unionM2: number; insideM2: number } {
  let done: FlatMultiPolygon = [];
  const rows: PassAreas[] = [];
  for (const points of passes) {
    const { quads, grossM2 } = quadsOf(points, widthM);
    const cover = union(quads);
    const fresh = done.length === 0 ? cover : subtract(cover, done);
    rows.push({
      grossM2,
      newM2: areaM2(fresh),
      newInsideM2: field === null ? areaM2(fresh) : areaM2(intersect(fresh, field)),
    });
    done = done.length === 0 ? cover : union([done, cover]);
  }
  return { passes: rows, unionM2: areaM2(done), insideM2: areaM2(field === null ? done : intersect(done, field)) };
}

/** The swaths of one pass, each an area of its own. */
export function quadsOf(points: readonly [number, number][], widthM: number) {
  const count = points.length;
  const swaths = swathQuads(
    Float64Array.from(points, (p) => p[0]),
    Float64Array.from(points, (p) => p[1]),
    new Uint8Array(count).fill(1),
    new Float64Array(count).fill(widthM),
  );
  const quads: FlatMultiPolygon[] = [];
  for (let k = 0; k + 1 < count; k++) {
    if (swaths.areaM2[k]! > 0) quads.push([[swaths.cornersM.slice(8 * k, 8 * k + 8)]]);
  }
  return { quads, grossM2: swaths.grossM2, swaths };
}
