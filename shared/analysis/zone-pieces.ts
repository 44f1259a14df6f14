/** Which pieces of a field (cells, or the strata behind a rating) belong to each zone, and how much of them. */
import { maskInside } from '../geometry/grid.ts';
import type { FlatMultiPolygon } from '../geometry/types.ts';
import type { Case } from '../model/range.ts';
import type { Patchwork } from './patchwork.ts';
import type { FieldGround } from './steps/field.ts';

/** Piece `at[i]` with `areaM2[i]` of its ground. */
export interface PieceShares {
  readonly at: Uint32Array;
  readonly areaM2: Float64Array;
}

/**
 * @param zones in metres of the field's frame; disjoint
 * @returns one entry a zone, and last the ground outside of all. Cells count whole where their center is inside. On a rating nobody
 * knows where the weed stands: a zone takes the poorest ground first in the mild case, its share of all in the central one, the
 * richest first in the harsh one.
 */
export function sharesOf(
  zones: readonly FlatMultiPolygon[],
  zonesM2: readonly number[],
  ground: FieldGround,
  patchwork: Patchwork,
  which: Case,
): PieceShares[] {
  if (patchwork.isCells) return cellsOf(zones, ground);
  const outsideM2 = Math.max(0, ground.areaM2 - zonesM2.reduce((a, b) => a + b, 0));
  return [...zonesM2, outsideM2].map((areaM2) => strataOf(areaM2, patchwork, which));
}

/** By cells the same in each case: found once. */
function cellsOf(zones: readonly FlatMultiPolygon[], { grid, inside }: FieldGround): PieceShares[] {
  const owner = new Uint16Array(inside.length);
  const counts = new Uint32Array(zones.length + 1);
  zones.forEach((zone, index) => {
    const mask = maskInside(grid, zone);
    for (let cell = 0; cell < mask.length; cell++) if (mask[cell] === 1 && owner[cell] === 0) owner[cell] = index + 1;
  });
  const of = (cell: number) => (owner[cell] === 0 ? zones.length : owner[cell]! - 1);
  for (let cell = 0; cell < inside.length; cell++) if (inside[cell] === 1) counts[of(cell)]!++;
  const shares = Array.from(counts, (count): PieceShares => ({
    at: new Uint32Array(count),
    areaM2: new Float64Array(count).fill(grid.cellM ** 2),
  }));
  const filled = new Uint32Array(counts.length);
  for (let cell = 0; cell < inside.length; cell++) {
    if (inside[cell] === 1) shares[of(cell)]!.at[filled[of(cell)]!++] = cell;
  }
  return shares;
}

function strataOf(areaM2: number, patchwork: Patchwork, which: Case): PieceShares {
  const pieces = Uint32Array.from(patchwork.areaM2, (_, piece) => piece);
  const wholeM2 = patchwork.areaM2.reduce((a, b) => a + b, 0);
  if (which === 'central') {
    const share = wholeM2 === 0 ? 0 : Math.min(1, areaM2 / wholeM2);
    return { at: pieces, areaM2: patchwork.areaM2.map((one) => one * share) };
  }
  const weeds = (piece: number) => patchwork.densityPerM2.reduce((sum, one) => sum + one[piece]!, 0);
  const poorestFirst = which === 'mild' ? 1 : -1;
  pieces.sort((a, b) => poorestFirst * (weeds(a) - weeds(b)));
  let leftM2 = areaM2;
  const taken = Float64Array.from(pieces, (piece) => {
    const here = Math.min(leftM2, patchwork.areaM2[piece]!);
    leftM2 -= here;
    return here;
  });
  return { at: pieces, areaM2: taken };
}
