/**
 * Whole areas: size, the way between degrees and metres, what is wrong with a drawn or imported one, and mending it.
 * Mending is never silent: it says each change, and the area before and after.
 * @source methods-spatial §2; tests/reference/polygon-ops (GEOS)
 */
import { cover, intersect, subtract, union } from './clip.ts';
import type { Frame } from './local-frame.ts';
import { reverseRing, ringAreaM2, ringBounds, ringIsClockwise, ringIsSelfCrossing, ringLengthM } from './ring.ts';
import type { Bounds, FlatMultiPolygon, FlatPolygon, FlatRing, LonLat, MultiPolygon } from './types.ts';

/** Area: outer rings less holes, whatever their winding; m². */
export function polygonAreaM2(polygon: FlatMultiPolygon): number {
  let sumM2 = 0;
  for (const rings of polygon) {
    rings.forEach((ring, index) => {
      sumM2 += index === 0 ? Math.abs(ringAreaM2(ring)) : -Math.abs(ringAreaM2(ring));
    });
  }
  return sumM2;
}

/** Length of all rings, holes too; m. */
export function polygonPerimeterM(polygon: FlatMultiPolygon): number {
  let sumM = 0;
  for (const rings of polygon) for (const ring of rings) sumM += ringLengthM(ring);
  return sumM;
}

/** The box about an area; [∞, ∞, −∞, −∞] for the empty one. */
export function polygonBounds(polygon: FlatMultiPolygon): Bounds {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const rings of polygon) {
    if (rings[0] === undefined) continue;
    const box = ringBounds(rings[0]);
    minX = Math.min(minX, box[0]);
    minY = Math.min(minY, box[1]);
    maxX = Math.max(maxX, box[2]);
    maxY = Math.max(maxY, box[3]);
  }
  return [minX, minY, maxX, maxY];
}

function wound(ring: FlatRing, clockwise: boolean): FlatRing {
  return ringAreaM2(ring) !== 0 && ringIsClockwise(ring) !== clockwise ? reverseRing(ring) : ring;
}

/**
 * Degrees to metres of a frame: the closing corner is dropped, outer rings turn counter-clockwise and holes clockwise
 * (winding carries no meaning in the degrees). Nothing else is changed.
 */
export function toLocalPolygon(frame: Frame, polygon: MultiPolygon): FlatMultiPolygon {
  return polygon.map((rings) =>
    rings.map((ring, index) => {
      const first = ring[0];
      const last = ring[ring.length - 1];
      const closed = ring.length > 1 && first![0] === last![0] && first![1] === last![1];
      const corners = closed ? ring.length - 1 : ring.length;
      const flat = new Float64Array(2 * corners);
      for (let i = 0; i < corners; i++) {
        const [x, y] = frame.toLocal(ring[i]![0], ring[i]![1]);
        flat[2 * i] = x;
        flat[2 * i + 1] = y;
      }
      return wound(flat, index > 0);
    }),
  );
}

/**
 * Metres of a frame to RFC 7946 rings: closed, outer rings counter-clockwise, holes clockwise.
 * @param decimals of a degree; 9 is a tenth of a millimetre (7 would move a 1 ha zone by 1e-5 of its area)
 */
export function toLonLatPolygon(frame: Frame, polygon: FlatMultiPolygon, decimals = 9): MultiPolygon {
  const scale = 10 ** decimals;
  return polygon.map((rings) =>
    rings.map((given, index) => {
      const ring = wound(given, index > 0);
      const corners: LonLat[] = [];
      for (let i = 0; i < ring.length; i += 2) {
        const [lon, lat] = frame.toLonLat(ring[i]!, ring[i + 1]!);
        corners.push([Math.round(lon * scale) / scale, Math.round(lat * scale) / scale]);
      }
      if (corners.length > 0) corners.push(corners[0]!);
      return corners;
    }),
  );
}

export interface PolygonFault {
  readonly kind:
    | 'no-area'
    | 'self-crossing'
    | 'duplicate-corners'
    | 'hole-outside'
    | 'hole-crosses-edge'
    | 'holes-overlap'
    | 'parts-overlap';
  /** Which polygon and ring, from 0; ring 0 is the outer one. */
  readonly polygon: number;
  readonly ring: number;
  /** A place that shows it, metres. */
  readonly at: readonly [x: number, y: number];
}

/** Corners nearer than this to the one before are the same corner, m. */
const SAME_CORNER_M = 1e-6;
/** Doubled corners are told from this share on. */
const TOLD_DUPLICATES_FRACTION = 0.01;

function withoutDoubles(ring: FlatRing): { ring: FlatRing; dropped: number; at: readonly [number, number] } {
  const kept: number[] = [];
  let at: readonly [number, number] = [ring[0] ?? 0, ring[1] ?? 0];
  const count = ring.length / 2;
  for (let i = 0; i < count; i++) {
    const x = ring[2 * i]!;
    const y = ring[2 * i + 1]!;
    const last = kept.length;
    if (last > 0 && Math.hypot(x - kept[last - 2]!, y - kept[last - 1]!) < SAME_CORNER_M) at = [x, y];
    else kept.push(x, y);
  }
  while (kept.length > 2 && Math.hypot(kept[0]! - kept.at(-2)!, kept[1]! - kept.at(-1)!) < SAME_CORNER_M) {
    at = [kept[0]!, kept[1]!];
    kept.length -= 2;
  }
  return { ring: Float64Array.from(kept), dropped: count - kept.length / 2, at };
}

function boxesMeet(a: Bounds, b: Bounds): boolean {
  return a[0] <= b[2] && b[0] <= a[2] && a[1] <= b[3] && b[1] <= a[3];
}

/** Overlap below what rounding to the grid can make is none. */
function isSome(area: FlatMultiPolygon, ...inputs: FlatRing[]): boolean {
  const toleranceM2 = 1e-4 * inputs.reduce((sum, ring) => sum + ringLengthM(ring), 0);
  return polygonAreaM2(area) > toleranceM2;
}

/** Whether edges vanished when two areas were brought together: they ran along each other for a stretch. */
function shareEdge(together: FlatMultiPolygon, a: FlatMultiPolygon, b: FlatMultiPolygon): boolean {
  const lostM = polygonPerimeterM(a) + polygonPerimeterM(b) - polygonPerimeterM(together);
  const corners = [...a, ...b].flat().reduce((sum, ring) => sum + ring.length / 2, 0);
  return lostM > 1e-3 + 2e-4 * corners;
}

function firstCorner(ring: FlatRing): readonly [number, number] {
  return [ring[0] ?? NaN, ring[1] ?? NaN];
}

/**
 * What is wrong with an area, place by place; an empty list means fit for use. Rings may touch at points.
 * @cost O(n log n) a ring, and an overlay for each pair of rings whose boxes meet
 */
export function checkPolygon(polygon: FlatMultiPolygon): PolygonFault[] {
  const faults: PolygonFault[] = [];
  polygon.forEach((rings, p) => {
    const fault = (kind: PolygonFault['kind'], ring: number, at: readonly [number, number]) =>
      faults.push({ kind, polygon: p, ring, at });
    const covers = rings.map((ring) => cover([ring]));
    rings.forEach((ring, r) => {
      const doubles = withoutDoubles(ring);
      if (doubles.dropped > TOLD_DUPLICATES_FRACTION * (ring.length / 2)) {
        fault('duplicate-corners', r, doubles.at);
      }
      if (doubles.ring.length < 6 || !isSome(covers[r]!, new Float64Array(0))) {
        fault('no-area', r, firstCorner(ring));
        return;
      }
      const crossing = ringIsSelfCrossing(doubles.ring);
      if (crossing !== null) fault('self-crossing', r, crossing);
    });
    const outer = rings[0];
    if (outer === undefined) return;
    for (let h = 1; h < rings.length; h++) {
      const hole = rings[h]!;
      if (covers[h]!.length === 0) continue;
      const beyond = subtract(covers[h]!, covers[0]!);
      if (isSome(beyond, outer, hole)) {
        const inside = intersect(covers[h]!, covers[0]!);
        fault(isSome(inside, outer, hole) ? 'hole-crosses-edge' : 'hole-outside', h, firstCorner(beyond[0]![0]!));
      } else if (shareEdge(subtract(covers[0]!, covers[h]!), covers[0]!, covers[h]!)) {
        fault('hole-crosses-edge', h, firstCorner(hole));
      }
      for (let other = 1; other < h; other++) {
        if (!boxesMeet(ringBounds(hole), ringBounds(rings[other]!))) continue;
        const shared = intersect(covers[h]!, covers[other]!);
        const overlap = isSome(shared, hole, rings[other]!);
        if (overlap || shareEdge(union([covers[h]!, covers[other]!]), covers[h]!, covers[other]!)) {
          fault('holes-overlap', h, firstCorner(overlap ? shared[0]![0]! : hole));
        }
      }
    }
    for (let other = 0; other < p; other++) {
      const outerThere = polygon[other]![0];
      if (outerThere === undefined || !boxesMeet(ringBounds(outer), ringBounds(outerThere))) continue;
      const shared = intersect(structured(rings), structured(polygon[other]!));
      if (isSome(shared, outer, outerThere)) fault('parts-overlap', 0, firstCorner(shared[0]![0]!));
    }
  });
  return faults;
}

/**
 * What these rings mean by the structure method: the ground the outer ring winds about, less what the holes wind about.
 * A ring called a hole that lies wholly outside is a part of its own, as GEOS reads it.
 */
function structured(rings: FlatPolygon): FlatMultiPolygon {
  if (rings.length === 0) return [];
  const outer = cover([rings[0]!]);
  const holes: FlatMultiPolygon[] = [];
  const parts: FlatMultiPolygon[] = [];
  for (const ring of rings.slice(1)) {
    const hole = cover([ring]);
    if (isSome(intersect(hole, outer), ring)) holes.push(hole);
    else parts.push(hole);
  }
  const left = holes.length === 0 ? outer : subtract(outer, union(holes));
  return parts.length === 0 ? left : union([left, ...parts]);
}

const SAYS: Record<PolygonFault['kind'], string> = {
  'no-area': 'has no area and was left out',
  'self-crossing': 'crosses itself; everything that it winds about was kept',
  'duplicate-corners': 'had doubled corners, which were dropped',
  'hole-outside': 'was drawn as a hole but lies outside; it was kept as a part of its own',
  'hole-crosses-edge': 'is a hole that meets the edge; the part inside was cut out',
  'holes-overlap': 'is a hole that meets another; both were cut out',
  'parts-overlap': 'overlaps an earlier part; the ground was counted once',
};

/**
 * The area made fit for use: doubled corners dropped, each ring by non-zero winding, holes united and cut out
 * (the structure method), parts united. The other reading of a self-crossing ring, even-odd, is told where it differs.
 * @returns areas in m² (before: as drawn, where loops wound the other way subtract) and a sentence for each change
 */
export function mendPolygon(polygon: FlatMultiPolygon): {
  polygon: FlatMultiPolygon;
  areaBeforeM2: number;
  areaAfterM2: number;
  changes: string[];
} {
  const faults = checkPolygon(polygon);
  const areaBeforeM2 = polygonAreaM2(polygon);
  if (faults.length === 0) return { polygon, areaBeforeM2, areaAfterM2: areaBeforeM2, changes: [] };

  const changes = faults.map((fault) => {
    const name = `${fault.ring === 0 ? 'The outline' : `Ring ${fault.ring + 1}`} of part ${fault.polygon + 1}`;
    return `${name} ${SAYS[fault.kind]} (at ${fault.at[0].toFixed(1)} m east, ${fault.at[1].toFixed(1)} m north).`;
  });
  const single = polygon.map((rings) => rings.map((ring) => withoutDoubles(ring).ring));
  const parts = single.map(structured);
  const mended = parts.length === 1 ? parts[0]! : union(parts);
  const areaAfterM2 = polygonAreaM2(mended);
  if (faults.some((fault) => fault.kind === 'self-crossing')) {
    const otherM2 = polygonAreaM2(cover(single.flat(), 'even-odd'));
    if (Math.abs(otherM2 - areaAfterM2) > 1e-4 * polygonPerimeterM(polygon)) {
      changes.push(
        `Ground wound about twice counts as inside: ${areaAfterM2.toFixed(1)} m². Taken as outside it would be ${otherM2.toFixed(1)} m².`,
      );
    }
  }
  return { polygon: mended, areaBeforeM2, areaAfterM2, changes };
}
