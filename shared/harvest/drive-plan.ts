/**
 * Where a combine would drive on a field that has no log: headland laps from the outside in, then strips of one header
 * width at a heading.
 * @source methods-season §3 (laps and strips common practice); tests/reference/harvest-path (assumed-path)
 */
import { buffer, intersect } from '../geometry/clip.ts';
import { convexHull } from '../geometry/hull.ts';
import { ringBounds, ringLengthM } from '../geometry/ring.ts';
import type { FlatMultiPolygon, FlatPolygon, FlatRing } from '../geometry/types.ts';

const RADIAN = Math.PI / 180;
/** @source methods-season §3: insets are mitred, limit 5 */
export const MITRE_LIMIT = 5;

export interface DrivePlan {
  /** Of each lap, the rings that the header's middle drives on; metres. */
  readonly laps: readonly (readonly FlatRing[])[];
  readonly lapLengthsM: readonly number[];
  /** What the laps leave. */
  readonly inner: FlatMultiPolygon;
  /** Of each strip from the low edge, its drives as from–to along the heading, m from the frame's origin. */
  readonly stripsAlongM: readonly (readonly (readonly [number, number])[])[];
  /** Where the strips' middles lie to the right of the heading axis, m from the frame's origin. */
  readonly stripAcrossM: readonly number[];
  readonly stripLengthM: number;
  readonly lastStripUsefulWidthM: number;
}

/**
 * Lap i runs on the polygon inset by (i − ½) w, holes outset likewise; a lap that finds no room ends the laps. A strip's
 * drives are the projections on the heading of the parts of (strip ∩ inner polygon), overlapping ones merged: so the strip
 * is wholly covered where its ends slant.
 * @param polygon outer ring and holes; metres
 * @param laps 0–4
 * @param headingDeg clockwise from north
 * @cost O(strips × corners)
 */
export function planDrive(polygon: FlatPolygon, widthM: number, laps: number, headingDeg: number): DrivePlan {
  if (!(widthM > 0)) throw new RangeError(`planDrive: expected a header width above 0 m, got ${widthM}`);
  const inset = (distanceM: number) =>
    distanceM === 0 ? [polygon] : buffer([polygon], -distanceM, { join: 'mitre', mitreLimit: MITRE_LIMIT });

  const lapRings: FlatRing[][] = [];
  for (let lap = 0; lap < laps; lap++) {
    const rings = inset((lap + 0.5) * widthM).flat();
    if (rings.length === 0) break;
    lapRings.push(rings);
  }
  const inner = inset(lapRings.length * widthM);

  const ux = Math.sin(headingDeg * RADIAN);
  const uy = Math.cos(headingDeg * RADIAN);
  // Along the heading and to the left of it: a turn, no mirror, so that rings keep their winding.
  const turned: FlatMultiPolygon = inner.map((rings) =>
    rings.map((ring) => {
      const out = new Float64Array(ring.length);
      for (let i = 0; i < ring.length; i += 2) {
        out[i] = ring[i]! * ux + ring[i + 1]! * uy;
        out[i + 1] = ring[i + 1]! * ux - ring[i]! * uy;
      }
      return out;
    }),
  );
  let [minAlong, minLeft, maxAlong, maxLeft] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const rings of turned) {
    const box = ringBounds(rings[0]!);
    minAlong = Math.min(minAlong, box[0]);
    minLeft = Math.min(minLeft, box[1]);
    maxAlong = Math.max(maxAlong, box[2]);
    maxLeft = Math.max(maxLeft, box[3]);
  }
  const stripsAlongM: [number, number][][] = [];
  const stripAcrossM: number[] = [];
  let stripLengthM = 0;
  const extentM = maxLeft - minLeft;
  // Insets stand on a grid of 0.1 mm: an extent a grid line over a whole number of widths is that number.
  const count = inner.length === 0 ? 0 : Math.max(1, Math.ceil((extentM - 2e-4) / widthM));
  for (let k = 0; k < count; k++) {
    const high = maxLeft - k * widthM;
    const strip = Float64Array.of(
      ...[minAlong - 1, high - widthM, maxAlong + 1, high - widthM],
      ...[maxAlong + 1, high, minAlong - 1, high],
    );
    const spans = intersect(turned, [[strip]])
      .map((rings) => ringBounds(rings[0]!))
      .map((box): [number, number] => [box[0], box[2]])
      .sort((a, b) => a[0] - b[0]);
    const merged: [number, number][] = [];
    for (const span of spans) {
      const last = merged.at(-1);
      if (last !== undefined && span[0] < last[1] - 1e-9) last[1] = Math.max(last[1], span[1]);
      else merged.push(span);
    }
    for (const [from, to] of merged) stripLengthM += to - from;
    stripsAlongM.push(merged);
    stripAcrossM.push(-(high - widthM / 2));
  }
  return {
    laps: lapRings,
    lapLengthsM: lapRings.map((rings) => rings.reduce((sum, ring) => sum + ringLengthM(ring), 0)),
    inner,
    stripsAlongM,
    stripAcrossM,
    stripLengthM,
    lastStripUsefulWidthM: count === 0 ? 0 : extentM - (count - 1) * widthM,
  };
}

/**
 * Heading of the longer side of the smallest rectangle about a ring: the fewest turns on most fields.
 * @returns degrees clockwise from north, 0 ≤ h < 180
 * @cost O(n log n)
 */
export function longestSideHeadingDeg(outer: FlatRing): number {
  const corners = outer.length / 2;
  const hull = convexHull(
    Float64Array.from({ length: corners }, (_, i) => outer[2 * i]!),
    Float64Array.from({ length: corners }, (_, i) => outer[2 * i + 1]!),
  );
  let best = Infinity;
  let headingDeg = 0;
  for (let i = 0, j = hull.length - 2; i < hull.length; j = i, i += 2) {
    const dx = hull[i]! - hull[j]!;
    const dy = hull[i + 1]! - hull[j + 1]!;
    const size = Math.hypot(dx, dy);
    if (size === 0) continue;
    let [minAlong, minAside, maxAlong, maxAside] = [Infinity, Infinity, -Infinity, -Infinity];
    for (let k = 0; k < hull.length; k += 2) {
      const along = (hull[k]! * dx + hull[k + 1]! * dy) / size;
      const aside = (hull[k + 1]! * dx - hull[k]! * dy) / size;
      minAlong = Math.min(minAlong, along);
      maxAlong = Math.max(maxAlong, along);
      minAside = Math.min(minAside, aside);
      maxAside = Math.max(maxAside, aside);
    }
    const length = maxAlong - minAlong;
    const width = maxAside - minAside;
    // Strictly smaller by more than rounding: of equal rectangles the first edge's is kept.
    if (length * width >= best * (1 - 1e-12)) continue;
    best = length * width;
    const deg = (length >= width ? Math.atan2(dx, dy) : Math.atan2(-dy, dx)) / RADIAN;
    headingDeg = ((deg % 180) + 180) % 180;
  }
  return headingDeg;
}
