/**
 * Overlay, buffer and minimum width of areas, on an integer grid of 0.1 mm in the field's frame (clipper2-ts).
 * Every result is a disjoint area with outer rings counter-clockwise and holes clockwise; a ring that crosses itself
 * counts by non-zero winding, so check and tell before (`checkPolygon`).
 *
 * Inputs are rounded to the grid: an overlay's area is good to 0.05 mm × the perimeter of its inputs.
 * @source tests/reference/polygon-ops (GEOS), tests/reference/contour-zone
 */
import { Clipper64, ClipType, FillRule, PathType, PolyTree64 } from 'clipper2-ts';
import type { Paths64 } from 'clipper2-ts';
import {
  areaOf,
  type IntegerFrame,
  integerFrame,
  pathOf,
  pathsAreaM2,
  pathsLengthM,
  pathsOf,
  PER_METRE,
} from './integer-paths.ts';
import { offsetCurve } from './offset-curve.ts';
import { ringAreaM2, ringIsSelfCrossing, ringLengthM } from './ring.ts';
import type { FlatMultiPolygon, FlatRing } from './types.ts';

export interface BufferOptions {
  readonly join?: 'round' | 'mitre';
  /** Chords that stand for a quarter turn; 8 gives a disc 0.64 % small. */
  readonly quadrantSegments?: number;
  /** Chords outside the true arc: the radius is scaled by 1 / cos(π / (4 segments)), for safety distances. */
  readonly outside?: boolean;
  /** How many distances a mitred corner may stand out before it is cut off. */
  readonly mitreLimit?: number;
}

function engineOf(subject: Paths64, clip: Paths64): Clipper64 {
  const engine = new Clipper64();
  engine.preserveCollinear = false;
  // The library's own last step drops small holes that touch their ring's edge (its doSplitOp keeps the larger side of a
  // crossing only); crossings are taken care of in areaOfTree.
  (engine as unknown as { fixSelfIntersects: (ring: unknown) => void }).fixSelfIntersects = () => undefined;
  engine.addPaths(subject, PathType.Subject);
  if (clip.length > 0) engine.addPaths(clip, PathType.Clip);
  return engine;
}

function treeOf(kind: ClipType, subject: Paths64, clip: Paths64, rule: FillRule = FillRule.NonZero): PolyTree64 {
  const tree = new PolyTree64();
  engineOf(subject, clip).execute(kind, rule, tree);
  return tree;
}

/**
 * The library's answer as an area of simple rings. Rounding can leave a hair of 0.1 mm where a ring crosses itself; uniting
 * the answer with itself takes it away. Rings that cannot be cut at the places where they touch themselves stay uncut.
 */
function areaOfTree(tree: PolyTree64, frame: IntegerFrame, rounds = 2): FlatMultiPolygon {
  let area: FlatMultiPolygon;
  try {
    area = areaOf(tree, frame);
  } catch {
    area = areaOf(tree, frame, false);
  }
  if (rounds === 0 || !area.some((rings) => rings.some((ring) => ringIsSelfCrossing(ring) !== null))) return area;
  return areaOfTree(treeOf(ClipType.Union, pathsOf(area, frame), []), frame, rounds - 1);
}

function unitePaths(paths: Paths64): Paths64 {
  const out: Paths64 = [];
  engineOf(paths, []).execute(ClipType.Union, FillRule.NonZero, out);
  return out;
}

/**
 * The ground that any of the areas covers, counted once. United in batches (runs of 200 areas, then eight by eight):
 * one call grows faster than n. Give the quadrilaterals of a pass in their order. Up to 32 areas are united two by two, each
 * step held to the law of `overlay`.
 * @cost about 0.2 s for 20 000 quadrilaterals
 */
export function union(areas: readonly FlatMultiPolygon[]): FlatMultiPolygon {
  const some = areas.filter((area) => area.length > 0);
  if (some.length > 1 && some.length <= 32) {
    const half = some.length >> 1;
    return overlay(ClipType.Union, union(some.slice(0, half)), union(some.slice(half)));
  }
  const frame = integerFrame(some);
  let level: Paths64[] = [];
  for (let start = 0; start < some.length; start += 200) {
    const batch: Paths64 = [];
    for (let i = start; i < Math.min(some.length, start + 200); i++) batch.push(...disentangled(some[i]!, frame));
    level.push(some.length > 200 ? unitePaths(batch) : batch);
  }
  while (level.length > 8) {
    const next: Paths64[] = [];
    for (let start = 0; start < level.length; start += 8) next.push(unitePaths(level.slice(start, start + 8).flat()));
    level = next;
  }
  return areaOfTree(treeOf(ClipType.Union, level.flat(), []), frame);
}

/** A ring that crosses itself has lobes wound both ways, which would cancel a neighbour's: it is united alone first. */
function disentangled(area: FlatMultiPolygon, frame: IntegerFrame): Paths64 {
  const crossing = area.some((rings) => rings.some((ring) => ringIsSelfCrossing(ring) !== null));
  const paths = pathsOf(area, frame);
  return crossing ? unitePaths(paths) : paths;
}

/**
 * The ground that loose rings cover: by non-zero winding (all that a ring winds about), or even-odd (ground wound about
 * twice is out). Rings keep the winding that they have.
 */
export function cover(rings: readonly FlatRing[], rule: 'non-zero' | 'even-odd' = 'non-zero'): FlatMultiPolygon {
  const frame = integerFrame(rings.map((ring) => [[ring]]));
  const paths = rings.filter((ring) => ring.length >= 6).map((ring) => pathOf(ring, frame, false));
  const fill = rule === 'even-odd' ? FillRule.EvenOdd : FillRule.NonZero;
  return areaOfTree(treeOf(ClipType.Union, paths, [], fill), frame);
}

/** Turns in which an overlay is tried: as it lies, united first, then askew, which undoes exact touches. */
const TURNS_RAD = [0, 0, 0.6137, 1.1731, 0.2719, 0.9371, 1.4113, 2.2277, 2.9173, 3.6711];

/**
 * An overlay of two areas, held to |A∪B| + |A∩B| = |A| + |B| and its kin. Where many corners lie exactly on edges (areas
 * from a raster), the library loses or adds a piece about once in a thousand overlays; then the inputs are united first and
 * the overlay is done again, in the end in a turned frame.
 * @cost two overlays
 */
function overlay(kind: ClipType, a: FlatMultiPolygon, b: FlatMultiPolygon): FlatMultiPolygon {
  let first: FlatMultiPolygon | null = null;
  for (const turnRad of TURNS_RAD) {
    const frame = integerFrame([a, b], 0, turnRad);
    const given = [pathsOf(a, frame), pathsOf(b, frame)] as const;
    const [subject, clip] = first === null ? given : [unitePaths(given[0]), unitePaths(given[1])];
    const result = areaOfTree(treeOf(kind, subject, clip), frame);
    if (subject.length === 0 || clip.length === 0 || lawHolds(kind, result, subject, clip)) return result;
    first ??= result;
  }
  return first!;
}

function lawHolds(kind: ClipType, result: FlatMultiPolygon, subject: Paths64, clip: Paths64): boolean {
  let resultM2 = 0;
  for (const rings of result) {
    for (let index = 0; index < rings.length; index++) {
      const areaM2 = ringAreaM2(rings[index]!);
      if (areaM2 > 0 !== (index === 0)) return false;
      resultM2 += areaM2;
    }
  }
  const partner: Paths64 = [];
  const partnerKind =
    kind === ClipType.Intersection || kind === ClipType.Union ? ClipType.Difference : ClipType.Intersection;
  engineOf(subject, clip).execute(partnerKind, FillRule.NonZero, partner);
  const partnerM2 = pathsAreaM2(partner);
  let wantedM2 = pathsAreaM2(subject);
  if (kind === ClipType.Union) wantedM2 = pathsAreaM2(clip) + partnerM2;
  else if (kind === ClipType.Xor) wantedM2 += pathsAreaM2(clip) - 2 * partnerM2;
  else wantedM2 -= partnerM2;
  const toleranceM2 = 5e-5 * (pathsLengthM(subject) + pathsLengthM(clip)) + 1e-7;
  return Math.abs(resultM2 - wantedM2) <= toleranceM2;
}

/** The ground in both areas; shared edges and points alone are none. */
export function intersect(a: FlatMultiPolygon, b: FlatMultiPolygon): FlatMultiPolygon {
  return a.length === 0 || b.length === 0 ? [] : overlay(ClipType.Intersection, a, b);
}

/** The ground in `a` that is not in `b`. */
export function subtract(a: FlatMultiPolygon, b: FlatMultiPolygon): FlatMultiPolygon {
  return a.length === 0 ? [] : overlay(ClipType.Difference, a, b);
}

/** The ground in just one of the areas. */
export function symmetricDifference(a: FlatMultiPolygon, b: FlatMultiPolygon): FlatMultiPolygon {
  if (a.length === 0 || b.length === 0) return union([a, b]);
  return overlay(ClipType.Xor, a, b);
}

/** The ground that raw offset curves wind about counter-clockwise. */
function offset(
  paths: Paths64,
  distanceM: number,
  options: BufferOptions,
  frame: IntegerFrame,
  caps?: { readonly at: readonly number[]; readonly round: boolean },
): FlatMultiPolygon {
  const { join = 'round', quadrantSegments = 8, outside = false, mitreLimit = 5 } = options;
  if (!(quadrantSegments >= 1) || !(mitreLimit >= 1)) {
    throw new RangeError(`buffer: expected chords and a mitre limit from 1, got ${quadrantSegments}, ${mitreLimit}`);
  }
  const finer = outside && join === 'round';
  const grownM = finer ? distanceM / Math.cos(Math.PI / (4 * quadrantSegments)) : distanceM;
  const curves = paths.map((path) =>
    offsetCurve(path, grownM * PER_METRE, { join, quadrantSegments, mitreLimit, finer }, caps).map(({ x, y }) => ({
      x: Math.round(x),
      y: Math.round(y),
    })),
  );
  return areaOfTree(treeOf(ClipType.Union, curves, [], FillRule.Positive), frame);
}

/**
 * The area grown by a distance, or shrunk by a negative one.
 * @param distanceM m; 0 gives the area mended on the grid
 */
export function buffer(area: FlatMultiPolygon, distanceM: number, options: BufferOptions = {}): FlatMultiPolygon {
  if (!Number.isFinite(distanceM)) throw new RangeError(`buffer: expected a distance in meters, got ${distanceM}`);
  if (area.length === 0) return [];
  const frame = integerFrame([area], Math.abs(distanceM));
  const paths = unitePaths(pathsOf(area, frame));
  if (distanceM === 0) return areaOfTree(treeOf(ClipType.Union, paths, []), frame);
  return offset(paths, distanceM, options, frame);
}

/**
 * The ground within a distance of a line.
 * @param line x0, y0, x1, y1, …; metres
 * @param options `ends`: round caps, or flat ones that stop with the line
 */
export function bufferLine(
  line: Float64Array,
  halfWidthM: number,
  options: BufferOptions & { readonly ends?: 'round' | 'flat' } = {},
): FlatMultiPolygon {
  if (!(halfWidthM > 0)) throw new RangeError(`bufferLine: expected a half width above 0 m, got ${halfWidthM}`);
  const frame = integerFrame([[[line]]], halfWidthM);
  const there = pathOf(line, frame, false).filter(
    (point, i, all) => i === 0 || point.x !== all[i - 1]!.x || point.y !== all[i - 1]!.y,
  );
  const round = options.ends !== 'flat';
  if (there.length === 0 || (there.length === 1 && !round)) return [];
  if (there.length === 1) {
    const { quadrantSegments = 8, outside = false } = options;
    const chords = 4 * quadrantSegments;
    const radius = (PER_METRE * halfWidthM) / (outside ? Math.cos(Math.PI / chords) : 1);
    const disc = Array.from({ length: chords }, (_, i) => ({
      x: Math.round(there[0]!.x + radius * Math.cos((2 * Math.PI * i) / chords)),
      y: Math.round(there[0]!.y + radius * Math.sin((2 * Math.PI * i) / chords)),
    }));
    return areaOfTree(treeOf(ClipType.Union, [disc], []), frame);
  }
  // There and back: a ring of no area, whose two ends are caps.
  const back = there.slice(1, -1).reverse();
  return offset([[...there, ...back]], halfWidthM, options, frame, { at: [0, there.length - 1], round });
}

/** Parts exactly as wide as the minimum are kept: they are shrunk by a hair (two grid lines) less. */
const HAIR_M = 2e-4;

/**
 * What is left of an area where parts narrower than a width are taken away: shrunk by half of it, grown back, and held
 * inside the area. Mitred, because round joins would also eat (1 − π/4) r² at every corner.
 */
export function openByWidth(area: FlatMultiPolygon, widthM: number, options: BufferOptions = {}): FlatMultiPolygon {
  const joined: BufferOptions = { join: 'mitre', ...options };
  const halfM = widthM / 2 - HAIR_M;
  if (!(halfM > 0)) return area;
  const shrunk = buffer(area, -halfM, joined);
  return shrunk.length === 0 ? [] : intersect(buffer(shrunk, halfM, joined), area);
}

/** The area with gaps, bays and holes narrower than a width filled: grown by half of it and shrunk back. */
export function closeByWidth(area: FlatMultiPolygon, widthM: number, options: BufferOptions = {}): FlatMultiPolygon {
  if (area.length === 0) return [];
  const joined: BufferOptions = { join: 'mitre', ...options };
  return union([area, buffer(buffer(area, widthM / 2, joined), -widthM / 2, joined)]);
}

/**
 * An area without the slivers that overlays leave: parts under 0.01 m², and parts under 1 m² so thin that
 * 4πA/P² < 1e-4.
 * @returns the rest and how many parts were dropped
 * @source methods-spatial §2 (ours)
 */
export function dropSlivers(area: FlatMultiPolygon): { polygon: FlatMultiPolygon; dropped: number } {
  const polygon = area.filter((rings) => {
    let areaM2 = 0;
    let lengthM = 0;
    for (const ring of rings) {
      areaM2 += ringAreaM2(ring);
      lengthM += ringLengthM(ring);
    }
    if (areaM2 < 0.01) return false;
    return areaM2 >= 1 || (4 * Math.PI * areaM2) / (lengthM * lengthM) >= 1e-4;
  });
  return { polygon, dropped: area.length - polygon.length };
}
