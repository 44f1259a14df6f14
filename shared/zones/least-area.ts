/**
 * Zones too small to be worth a stop: joined to a neighbour that is near, by a corridor of the machine's width, or dropped.
 * @source methods-spatial §11
 */
import { bufferLine, dropSlivers, intersect, subtract, union } from '../geometry/clip.ts';
import { polygonAreaM2, polygonBounds } from '../geometry/polygon.ts';
import type { Bounds, FlatMultiPolygon } from '../geometry/types.ts';

export interface Part<Why> {
  readonly area: FlatMultiPolygon;
  readonly why: Why;
}

export interface Sized<Why> {
  readonly parts: Part<Why>[];
  readonly merged: { readonly areaM2: number; readonly corridorM2: number; readonly at: readonly [number, number] }[];
  readonly dropped: { readonly areaM2: number; readonly why: Why; readonly at: readonly [number, number] }[];
}

/**
 * @param parts disjoint, in the field
 * @param minAreaM2 least area; m²
 * @param withinM how far a neighbour may be, and the width of the corridor that joins; m
 * @returns parts of at least `minAreaM2`; a joined part takes the larger one's reason
 * @cost pairs of parts whose boxes are near × their corners
 */
export function fitArea<Why>(
  parts: readonly Part<Why>[],
  field: FlatMultiPolygon,
  minAreaM2: number,
  withinM: number,
): Sized<Why> {
  const left = parts.map((part) => ({ ...part, areaM2: polygonAreaM2(part.area) }));
  const merged: Sized<Why>['merged'] = [];
  const dropped: Sized<Why>['dropped'] = [];
  for (;;) {
    left.sort((a, b) => b.areaM2 - a.areaM2);
    const small = left[left.length - 1];
    if (small === undefined || small.areaM2 >= minAreaM2) break;
    left.pop();
    const at = cornerOf(small.area);
    // Same reason first, then the nearest.
    const near = left
      .map((other) => ({ other, gap: gapBetween(small.area, other.area, withinM) }))
      .filter(({ gap }) => gap !== null)
      .sort(
        (a, b) =>
          Number(b.other.why === small.why) - Number(a.other.why === small.why) || a.gap!.distanceM - b.gap!.distanceM,
      )[0];
    if (near === undefined) {
      dropped.push({ areaM2: small.areaM2, why: small.why, at });
      continue;
    }
    const others = left.filter((one) => one !== near.other).flatMap((one) => one.area);
    const corridor = near.gap!.distanceM === 0 || !(withinM > 0) ? [] : bufferLine(near.gap!.line, withinM / 2);
    const joined = dropSlivers(
      subtract(intersect(union([small.area, near.other.area, corridor]), field), others),
    ).polygon;
    const areaM2 = polygonAreaM2(joined);
    merged.push({ areaM2: small.areaM2, corridorM2: Math.max(0, areaM2 - small.areaM2 - near.other.areaM2), at });
    left.splice(left.indexOf(near.other), 1, { area: joined, why: near.other.why, areaM2 });
  }
  return { parts: left.map(({ area, why }) => ({ area, why })), merged, dropped };
}

function cornerOf(area: FlatMultiPolygon): readonly [number, number] {
  const ring = area[0]![0]!;
  return [ring[0]!, ring[1]!];
}

function far(a: Bounds, b: Bounds, withinM: number): boolean {
  return a[0] - withinM > b[2] || b[0] - withinM > a[2] || a[1] - withinM > b[3] || b[1] - withinM > a[3];
}

/** The shortest line between two areas, or null where it is longer than `withinM`. */
function gapBetween(
  a: FlatMultiPolygon,
  b: FlatMultiPolygon,
  withinM: number,
): { distanceM: number; line: Float64Array } | null {
  if (far(polygonBounds(a), polygonBounds(b), withinM)) return null;
  let shortest2 = withinM * withinM * (1 + 1e-9) + 1e-8;
  let line: Float64Array | null = null;
  const cornersToEdges = (from: FlatMultiPolygon, to: FlatMultiPolygon) => {
    for (const ring of from.flat()) {
      for (let c = 0; c < ring.length; c += 2) {
        const px = ring[c]!;
        const py = ring[c + 1]!;
        for (const edge of to.flat()) {
          for (let i = 0, j = edge.length - 2; i < edge.length; j = i, i += 2) {
            const ax = edge[j]!;
            const ay = edge[j + 1]!;
            const dx = edge[i]! - ax;
            const dy = edge[i + 1]! - ay;
            const length2 = dx * dx + dy * dy;
            const t = length2 === 0 ? 0 : Math.min(1, Math.max(0, ((px - ax) * dx + (py - ay) * dy) / length2));
            const qx = ax + t * dx;
            const qy = ay + t * dy;
            const d2 = (px - qx) * (px - qx) + (py - qy) * (py - qy);
            if (d2 < shortest2) {
              shortest2 = d2;
              line = Float64Array.of(px, py, qx, qy);
            }
          }
        }
      }
    }
  };
  cornersToEdges(a, b);
  cornersToEdges(b, a);
  if (line === null) return null;
  // Below a millimetre they touch.
  return { distanceM: shortest2 < 1e-6 ? 0 : Math.sqrt(shortest2), line };
}
