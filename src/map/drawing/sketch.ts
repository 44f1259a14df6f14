/** A drawing under way, as data: each press gives a new one, so that undo is the one before. Corners are degrees, kept as they were given. */
import type { LonLat, MultiPolygon } from '../../../shared/geometry/types.ts';
import type { DrawingWish } from '../../state/drawing.svelte.ts';

export interface SketchRing {
  /** Which part of the area it belongs to; the first ring of a part is its outline, the others are holes. */
  readonly part: number;
  /** Not closed: the first corner does not come again. */
  readonly corners: readonly LonLat[];
}

export interface Sketch {
  readonly kind: DrawingWish['kind'];
  /** 'placing': corner after corner; 'shaping': the outline is closed and its corners can be moved. */
  readonly phase: 'placing' | 'shaping';
  readonly rings: readonly SketchRing[];
}

export interface CornerRef {
  readonly ring: number;
  readonly corner: number;
}

export const LEAST_CORNERS: Readonly<Record<DrawingWish['kind'], number>> = { point: 1, line: 2, area: 3 };

export function beginSketch(wish: DrawingWish): Sketch {
  const { kind } = wish;
  if (kind !== 'area' || wish.start === null) return { kind, phase: 'placing', rings: [{ part: 0, corners: [] }] };
  return { kind, phase: 'shaping', rings: ringsOf(wish.start) };
}

function ringsOf(area: MultiPolygon): SketchRing[] {
  return area.flatMap((rings, part) => rings.map((ring) => ({ part, corners: ring.slice(0, -1) })));
}

/** The same drawing with another area in its place: mended, or clipped. */
export function withArea(sketch: Sketch, area: MultiPolygon): Sketch {
  return { ...sketch, phase: 'shaping', rings: ringsOf(area) };
}

export function cornerAt(sketch: Sketch, { ring, corner }: CornerRef): LonLat {
  return sketch.rings[ring]!.corners[corner]!;
}

export function cornersOf(sketch: Sketch): CornerRef[] {
  return sketch.rings.flatMap(({ corners }, ring) => corners.map((_, corner) => ({ ring, corner })));
}

/** A new corner at the end; of a point, the place anew. */
export function placeCorner(sketch: Sketch, at: LonLat): Sketch {
  const last = sketch.rings.length - 1;
  const before = sketch.kind === 'point' ? [] : sketch.rings[last]!.corners;
  return withCorners(sketch, last, [...before, at]);
}

export function moveCorner(sketch: Sketch, { ring, corner }: CornerRef, at: LonLat): Sketch {
  return withCorners(sketch, ring, spliced(sketch.rings[ring]!.corners, corner, 1, at));
}

/** A corner on the edge that begins at a corner. */
export function insertCorner(sketch: Sketch, { ring, corner }: CornerRef, at: LonLat): Sketch {
  return withCorners(sketch, ring, spliced(sketch.rings[ring]!.corners, corner + 1, 0, at));
}

/** Without a corner; a hole or a part of too few corners goes with it. null where nothing would be left of a closed area. */
export function removeCorner(sketch: Sketch, { ring, corner }: CornerRef): Sketch | null {
  const { part, corners } = sketch.rings[ring]!;
  if (sketch.phase === 'placing' || corners.length > LEAST_CORNERS.area) {
    return withCorners(sketch, ring, spliced(corners, corner, 1));
  }
  const isOutline = sketch.rings.findIndex((one) => one.part === part) === ring;
  const left = sketch.rings.filter((one, index) => (isOutline ? one.part !== part : index !== ring));
  return left.length === 0 ? null : { ...sketch, rings: left };
}

export function closeSketch(sketch: Sketch): Sketch {
  return canClose(sketch) ? { ...sketch, phase: 'shaping' } : sketch;
}

export function canClose({ kind, phase, rings }: Sketch): boolean {
  return kind === 'area' && phase === 'placing' && rings[0]!.corners.length >= LEAST_CORNERS.area;
}

export function isComplete({ kind, rings }: Sketch): boolean {
  return rings.length > 0 && rings.every((ring) => ring.corners.length >= LEAST_CORNERS[kind]);
}

export interface SketchEdge {
  /** The corner that it begins at. */
  readonly from: CornerRef;
  readonly a: LonLat;
  readonly b: LonLat;
}

/** Edges from corner to corner; of an outline that is still being placed without the closing one. */
export function edgesOf(sketch: Sketch): SketchEdge[] {
  return sketch.rings.flatMap(({ corners }, ring) =>
    corners.flatMap((a, corner) => {
      const last = corner === corners.length - 1;
      if (last && (sketch.phase === 'placing' || corners.length < 3)) return [];
      return [{ from: { ring, corner }, a, b: corners[(corner + 1) % corners.length]! }];
    }),
  );
}

/** The rings as an area, closed; null where a ring has too few corners yet. */
export function areaOf(sketch: Sketch): MultiPolygon | null {
  if (sketch.kind !== 'area' || !isComplete(sketch)) return null;
  const parts = new Map<number, LonLat[][]>();
  for (const { part, corners } of sketch.rings) {
    parts.set(part, [...(parts.get(part) ?? []), [...corners, corners[0]!]]);
  }
  return [...parts.values()];
}

function withCorners(sketch: Sketch, ring: number, corners: readonly LonLat[]): Sketch {
  return { ...sketch, rings: spliced(sketch.rings, ring, 1, { ...sketch.rings[ring]!, corners }) };
}

function spliced<T>(list: readonly T[], at: number, out: number, ...put: readonly T[]): T[] {
  return [...list.slice(0, at), ...put, ...list.slice(at + out)];
}
