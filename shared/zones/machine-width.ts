/**
 * An area that a machine of a given width can treat: gaps narrower than it are filled, parts narrower than it widened.
 * @source methods-spatial §11 (opening and closing by half the width, mitred); tests/reference/contour-zone
 */
import { buffer, closeByWidth, dropSlivers, intersect, openByWidth, subtract, union } from '../geometry/clip.ts';
import { polygonAreaM2, polygonPerimeterM } from '../geometry/polygon.ts';
import type { FlatMultiPolygon } from '../geometry/types.ts';

export interface FittedWidth {
  readonly area: FlatMultiPolygon;
  /** Ground in gaps that was taken in. */
  readonly filledM2: number;
  /** Parts that were too narrow, their area as it was, and the ground that widening took in. */
  readonly widenedParts: number;
  readonly narrowM2: number;
  readonly widenedByM2: number;
  /** Narrow teeth of the edge that were left out, under the area given. */
  readonly leftOutM2: number;
  /** Part of `narrowM2` where the field itself leaves no room for the width. */
  readonly noRoomM2: number;
}

/** Widening is sought to this, m. */
const STEP_M = 0.05;

/**
 * @param area inside the field
 * @param field where the machine may go
 * @param widthM least width; m; 0 leaves the area as it is
 * @param toothM2 narrow parts of the edge under this are left out; those that stand alone never are; m²
 * @returns an area inside the field that covers the given one but for those teeth
 */
export function fitWidth(
  area: FlatMultiPolygon,
  field: FlatMultiPolygon,
  widthM: number,
  toothM2: number,
): FittedWidth {
  const asItIs = { area, filledM2: 0, widenedParts: 0, narrowM2: 0, widenedByM2: 0, leftOutM2: 0, noRoomM2: 0 };
  if (!(widthM > 0) || area.length === 0) return asItIs;
  const closed = intersect(closeByWidth(area, widthM), field);
  const opened = openByWidth(closed, widthM);
  const lost = dropSlivers(subtract(closed, opened)).polygon;
  const narrow = lost.filter((polygon) => polygonAreaM2([polygon]) >= toothM2 || !touches([polygon], opened));
  const widened: FlatMultiPolygon[] = [];
  let noRoomM2 = 0;
  for (const polygon of narrow) {
    const part = [polygon];
    const wide = widen(part, field, widthM);
    widened.push(wide.area);
    if (!wide.fits) noRoomM2 += polygonAreaM2(subtract(part, union([opened, openByWidth(wide.area, widthM)])));
  }
  const whole = union([opened, ...widened]);
  return {
    area: whole,
    filledM2: Math.max(0, polygonAreaM2(closed) - polygonAreaM2(area)),
    widenedParts: narrow.length,
    narrowM2: polygonAreaM2(narrow),
    widenedByM2: Math.max(0, polygonAreaM2(whole) - polygonAreaM2(closed)),
    leftOutM2: polygonAreaM2(lost) - polygonAreaM2(narrow),
    noRoomM2,
  };
}

function touches(part: FlatMultiPolygon, other: FlatMultiPolygon): boolean {
  return polygonAreaM2(intersect(buffer(part, 0.01, { join: 'mitre' }), other)) > 0;
}

/** The least growth of a narrow part, on either side, that lets the machine's width pass over all of it inside the field. */
function widen(
  part: FlatMultiPolygon,
  field: FlatMultiPolygon,
  widthM: number,
): { area: FlatMultiPolygon; fits: boolean } {
  const grownBy = (distanceM: number) => intersect(buffer(part, distanceM, { join: 'mitre', mitreLimit: 2 }), field);
  const passable = (distanceM: number): FlatMultiPolygon | null => {
    const opened = openByWidth(grownBy(distanceM), widthM);
    const leftM2 = polygonAreaM2(subtract(part, opened));
    return leftM2 <= Math.max(0.01, 1e-3 * polygonPerimeterM(part)) ? opened : null;
  };
  let most = widthM;
  let found = passable(most);
  // The field's own edge or an exclusion may leave no room: then the part as wide as the field lets it be.
  if (found === null) return { area: grownBy(widthM / 2), fits: false };
  for (let least = 0; most - least > STEP_M;) {
    const middle = (least + most) / 2;
    const opened = passable(middle);
    if (opened === null) least = middle;
    else {
      most = middle;
      found = opened;
    }
  }
  return { area: union([found, part]), fits: true };
}

/**
 * Ground of an area in parts narrower than a width; tips of sharp corners under a quarter of its square are left out.
 * @returns m²; all of the area where no part is as wide
 */
export function narrowM2(area: FlatMultiPolygon, widthM: number): number {
  if (!(widthM > 0)) return 0;
  const opened = openByWidth(area, widthM);
  const lost = dropSlivers(subtract(area, opened)).polygon;
  const narrow = lost.filter((part) => polygonAreaM2([part]) >= widthM ** 2 / 4 || !touches([part], opened));
  return polygonAreaM2(narrow);
}
