/**
 * One feature's rings in degrees made fit for use, with every change told: rings closed, doubled corners dropped, winding as in
 * RFC 7946, and self-crossings and bad holes mended in the feature's own frame.
 * @source methods-spatial §2; RFC 7946 3.1.6.
 */
import { geodesicAreaM2 } from '../geometry/geodesic.ts';
import { createFrame, frameOriginOf } from '../geometry/local-frame.ts';
import { checkPolygon, mendPolygon, toLocalPolygon, toLonLatPolygon, type PolygonFault } from '../geometry/polygon.ts';
import type { Bounds, LonLat, MultiPolygon } from '../geometry/types.ts';
import { fromSI } from '../units/units.ts';
import { signedArea } from './ring-nesting.ts';

/** `what` follows the feature's name in a sentence without its full stop. */
export type Tell = (
  level: 'warning' | 'note',
  code: string,
  what: string,
  more?: { at?: LonLat; hint?: string },
) => void;

export interface CleanShape {
  /** RFC 7946: closed, outer rings counter-clockwise, holes clockwise. */
  readonly polygon: MultiPolygon;
  /** Rings that were wound the other way. */
  readonly woundWrong: number;
}

/** Farther across than this is no field but a mistake of coordinates, degrees of latitude or longitude (about 80 km). */
const WIDEST_DEG = 0.8;
const SAME_CORNER_M = 1e-6;
const METRES_A_DEGREE = 111_320;

/** @returns null where no area is left (told) @cost O(n log n) a ring, more where it has to be mended */
export function cleanShape(shape: readonly LonLat[][][], tell: Tell): CleanShape | null {
  let unclosed = 0;
  let doubled = 0;
  let corners = 0;
  let woundWrong = 0;
  let onLine = 0;
  const polygon: MultiPolygon = shape.map((rings) =>
    rings.map((ring, r) => {
      corners += ring.length;
      const single = withoutDoubles(ring);
      doubled += ring.length - single.length;
      const [first, last] = [single[0], single.at(-1)];
      if (first && last && (first[0] !== last[0] || first[1] !== last[1])) {
        unclosed++;
        single.push(first);
      }
      if (single.length > 0 && isOnLine(single)) {
        onLine++;
        return [];
      }
      const area = signedArea(single);
      if (area === 0 || area > 0 === (r === 0)) return single;
      woundWrong++;
      return single.reverse();
    }),
  );
  if (unclosed > 0) {
    const rings =
      unclosed === 1
        ? 'a ring that was not closed and is closed'
        : `${unclosed} rings that were not closed and are closed`;
    tell('warning', 'ring-not-closed', `has ${rings} now, from the last corner to the first`);
  }
  if (doubled > 0.01 * corners) {
    tell('note', 'points-doubled', `has ${doubled} of ${corners} corners twice over; they are dropped, the area stays`);
  }
  // Holes too: a stray corner may be one of theirs.
  const bounds = boundsOf(polygon.flatMap((rings) => rings.map((ring) => [ring])));
  if (!bounds.every(Number.isFinite)) {
    if (onLine > 0) tell('warning', 'ring-without-area', NO_AREA);
    else tell('warning', 'shape-missing', 'has no shape and is left out');
    return null;
  }
  if (bounds[2] - bounds[0] > WIDEST_DEG || bounds[3] - bounds[1] > WIDEST_DEG) {
    const [width, height] = [bounds[2] - bounds[0], bounds[3] - bounds[1]];
    const what = `spans ${width.toFixed(2)}° by ${height.toFixed(2)}°, too far across for a field, and is left out`;
    tell('warning', 'shape-too-large', what, { hint: 'A wrong coordinate system or one stray corner does that.' });
    return null;
  }
  const frame = createFrame(frameOriginOf(bounds));
  const local = toLocalPolygon(frame, polygon);
  const faults = checkPolygon(local).filter((fault) => fault.kind !== 'duplicate-corners');
  if (faults.length === 0) {
    tellTouching(polygon, tell);
    return { polygon, woundWrong };
  }
  const mended = toLonLatPolygon(frame, mendPolygon(local).polygon);
  if (mended.length === 0) {
    tell('warning', 'ring-without-area', NO_AREA);
    return null;
  }
  const before = areaText(geodesicAreaM2(polygon));
  const after = areaText(geodesicAreaM2(mended));
  const parts = mended.length === 1 ? '1 part' : `${mended.length} parts`;
  for (const fault of faults) {
    const at = frame.toLonLat(...fault.at);
    const isPlace = Number.isFinite(at[0]) && Number.isFinite(at[1]);
    const place = isPlace ? ` at ${at[1].toFixed(6)}, ${at[0].toFixed(6)} (latitude, longitude)` : '';
    const what = `${SAYS[fault.kind]}${place}; mended to ${parts}: ${before} as drawn, ${after} now`;
    tell('warning', CODES[fault.kind], what, {
      ...(isPlace ? { at } : {}),
      hint: 'Look at it on the map, and draw it anew if it is not what is meant.',
    });
  }
  return { polygon: mended, woundWrong };
}

const NO_AREA = 'has no area (fewer than three corners, or all on a line) and is left out';

const CODES: Record<PolygonFault['kind'], string> = {
  'no-area': 'ring-without-area',
  'self-crossing': 'ring-crosses-itself',
  'duplicate-corners': 'points-doubled',
  'hole-outside': 'hole-outside',
  'hole-crosses-edge': 'hole-crosses-edge',
  'holes-overlap': 'holes-overlap',
  'parts-overlap': 'parts-overlap',
};

const SAYS: Record<PolygonFault['kind'], string> = {
  'no-area': 'has a ring without area, which is left out,',
  'self-crossing': 'crosses itself',
  'duplicate-corners': 'has corners twice over',
  'hole-outside': 'has a hole outside of its edge, which is kept as a part of its own,',
  'hole-crosses-edge': 'has a hole that crosses its edge',
  'holes-overlap': 'has holes that overlap',
  'parts-overlap': 'has parts that overlap and are counted once',
};

/** Fit for use here, but some programs refuse it. */
function tellTouching(polygon: MultiPolygon, tell: Tell): void {
  for (const rings of polygon) {
    for (const ring of rings) {
      const seen = new Set<string>();
      for (let i = 0; i < ring.length - 1; i++) {
        const key = `${ring[i]![0]} ${ring[i]![1]}`;
        if (seen.has(key)) {
          const place = `${ring[i]![1]}, ${ring[i]![0]}`;
          const what = `has a ring that touches itself at ${place} (latitude, longitude); it is kept as it is`;
          return tell('note', 'ring-touches-itself', what, { at: ring[i]! });
        }
        seen.add(key);
      }
    }
  }
}

/** All corners on one line of the map; a bow tie, whose loops cancel, is not. */
function isOnLine(ring: readonly LonLat[]): boolean {
  const [x0, y0] = ring[0]!;
  const away = ring.find(([x, y]) => x !== x0 || y !== y0);
  if (away === undefined) return true;
  return ring.every(([x, y]) => (away[0] - x0) * (y - y0) === (away[1] - y0) * (x - x0));
}

function withoutDoubles(ring: readonly LonLat[]): LonLat[] {
  const kept: LonLat[] = [];
  for (const corner of ring) {
    const last = kept.at(-1);
    if (last !== undefined) {
      const dy = (corner[1] - last[1]) * METRES_A_DEGREE;
      const dx = (corner[0] - last[0]) * METRES_A_DEGREE * Math.cos((corner[1] * Math.PI) / 180);
      if (dx * dx + dy * dy < SAME_CORNER_M * SAME_CORNER_M) continue;
    }
    kept.push(corner);
  }
  // A closing corner that was dropped as a double of the one before it comes back, so that closed rings stay closed.
  const [first, last, end] = [kept[0], kept.at(-1), ring.at(-1)];
  if (kept.length > 1 && end !== last && first![0] === end![0] && first![1] === end![1]) kept[kept.length - 1] = first!;
  return kept;
}

/** West, south, east, north of the outer rings; infinite where there is none. */
export function boundsOf(polygon: MultiPolygon): Bounds {
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const rings of polygon) {
    for (const [lon, lat] of rings[0] ?? []) {
      if (lon < west) west = lon;
      if (lon > east) east = lon;
      if (lat < south) south = lat;
      if (lat > north) north = lat;
    }
  }
  return [west, south, east, north];
}

function areaText(areaM2: number): string {
  return `${fromSI(areaM2, 'ha').toFixed(3)} ha (${fromSI(areaM2, 'ac').toFixed(2)} ac)`;
}
