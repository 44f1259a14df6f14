/** What is amiss with a drawing, while it is drawn: where it crosses itself, and what of it lies outside of the field. */
import { intersect } from '../../../shared/geometry/clip.ts';
import type { Frame } from '../../../shared/geometry/local-frame.ts';
import {
  checkPolygon,
  mendPolygon,
  polygonAreaM2,
  polygonPerimeterM,
  toLocalPolygon,
  toLonLatPolygon,
} from '../../../shared/geometry/polygon.ts';
import type { FlatMultiPolygon, LonLat, MultiPolygon } from '../../../shared/geometry/types.ts';
import { areaOf, type Sketch } from './sketch.ts';

export interface Soundness {
  /** As drawn, loops counted once; 0 for a line or a point. */
  readonly areaM2: number;
  readonly lengthM: number;
  /** Where it first crosses itself. */
  readonly crossesAt: LonLat | null;
  /** What else bars it: a hole outside, no area. */
  readonly fault: string | null;
  readonly outsideM2: number;
  /** What is given when the drawing is done: without what lies outside; null while it cannot be given. */
  readonly area: MultiPolygon | null;
}

const SAYS: Readonly<Record<string, string>> = {
  'no-area': 'It has no area yet.',
  'hole-outside': 'A hole lies outside of its area.',
  'hole-crosses-edge': 'A hole crosses the edge of its area.',
  'holes-overlap': 'Two holes overlap.',
  'parts-overlap': 'Two parts overlap.',
};

export function soundnessOf(sketch: Sketch, frame: Frame, field: FlatMultiPolygon | null): Soundness {
  const lengthM = lengthOf(sketch, frame);
  const none: Soundness = { areaM2: 0, lengthM, crossesAt: null, fault: null, outsideM2: 0, area: null };
  const drawn = areaOf(sketch);
  if (!drawn) return none;
  const local = toLocalPolygon(frame, drawn);
  const areaM2 = polygonAreaM2(local);
  // While corners are still being placed the closing edge may cross others: nothing is amiss yet.
  const faults = checkPolygon(local).filter((one) => one.kind !== 'duplicate-corners');
  const crossing = faults.find((one) => one.kind === 'self-crossing');
  if (crossing) return { ...none, areaM2, crossesAt: frame.toLonLat(...crossing.at) };
  if (faults[0]) return { ...none, areaM2, fault: SAYS[faults[0].kind] ?? null };
  if (!field) return { ...none, areaM2, area: drawn };
  const within = intersect(local, field);
  const withinM2 = polygonAreaM2(within);
  const outsideM2 = areaM2 - withinM2;
  if (outsideM2 <= roundingM2(local)) return { ...none, areaM2, area: drawn };
  const fault = withinM2 <= roundingM2(local) ? 'All of it lies outside of the field.' : null;
  return { ...none, areaM2, fault, outsideM2, area: fault ? null : toLonLatPolygon(frame, within) };
}

/** What rounding to the grid of overlays can make: a corner snapped onto the field's edge is not outside of it. */
function roundingM2(area: FlatMultiPolygon): number {
  return 0.002 * polygonPerimeterM(area) + 0.01;
}

/** The drawing mended by what it winds about, with its area then; and what was done, in words. */
export function mended(sketch: Sketch, frame: Frame): { area: MultiPolygon; areaM2: number } | null {
  const drawn = areaOf(sketch);
  if (!drawn) return null;
  const { polygon, areaAfterM2 } = mendPolygon(toLocalPolygon(frame, drawn));
  return polygon.length === 0 ? null : { area: toLonLatPolygon(frame, polygon), areaM2: areaAfterM2 };
}

/** Length of a line, of what was placed of an outline, or of all closed outlines. */
function lengthOf({ phase, kind, rings }: Sketch, frame: Frame): number {
  let sumM = 0;
  for (const { corners } of rings) {
    const closed = kind === 'area' && phase === 'shaping';
    for (let i = closed ? 0 : 1; i < corners.length; i++) {
      sumM += distanceM(frame, corners[(i + corners.length - 1) % corners.length]!, corners[i]!);
    }
  }
  return sumM;
}

export function distanceM(frame: Frame, a: LonLat, b: LonLat): number {
  const [ax, ay] = frame.toLocal(a[0], a[1]);
  const [bx, by] = frame.toLocal(b[0], b[1]);
  return Math.hypot(bx - ax, by - ay);
}

/** Where the line that was placed so far crosses itself; a line of few corners. */
export function placedCrossing(corners: readonly LonLat[], frame: Frame): LonLat | null {
  const at = corners.map(([lon, lat]) => frame.toLocal(lon, lat));
  for (let e = 2; e < at.length - 1; e++) {
    for (let f = 0; f < e - 1; f++) {
      const place = crossing(at[f]!, at[f + 1]!, at[e]!, at[e + 1]!);
      if (place) return frame.toLonLat(...place);
    }
  }
  return null;
}

type XY = readonly [number, number];
function crossing([ax, ay]: XY, [bx, by]: XY, [cx, cy]: XY, [dx, dy]: XY): [number, number] | null {
  const [rx, ry, sx, sy] = [bx - ax, by - ay, dx - cx, dy - cy];
  const turn = rx * sy - ry * sx;
  if (turn === 0) return null;
  const t = ((cx - ax) * sy - (cy - ay) * sx) / turn;
  const u = ((cx - ax) * ry - (cy - ay) * rx) / turn;
  return t > 0 && t < 1 && u > 0 && u < 1 ? [ax + t * rx, ay + t * ry] : null;
}
