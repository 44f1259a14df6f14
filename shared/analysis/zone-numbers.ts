/**
 * The numbers of zones as they are drawn, from results that a study has: the zones need not be in the document. The bank of the
 * coming spring and what each class of it loses are known within zones and outside, so that nothing is computed anew but sums.
 * Each number is made through its formula and kept as a figure under `zone-numbers/<field>/<zone>/…`.
 *
 * Sums over the zones and the ground outside of them are the field's numbers, on cells to rounding; on a rating the central ones.
 */
import { geodesicAreaM2 } from '../geometry/geodesic.ts';
import { createFrame } from '../geometry/local-frame.ts';
import { toLocalPolygon } from '../geometry/polygon.ts';
import type { MultiPolygon } from '../geometry/types.ts';
import { type Case, CASES } from '../model/range.ts';
import type { FigureBook } from './formula.ts';
import { silentCells } from './known-ground.ts';
import { type Patchwork, patchworkOf } from './patchwork.ts';
import type { FieldGround } from './steps/field.ts';
import type { FieldInfestation } from './steps/infestation.ts';
import { OUTSIDE, zoneFigures, type ZoneNumbers } from './zone-figures.ts';
import { type PieceShares, sharesOf } from './zone-pieces.ts';
import { type CaseSums, sumsOf, type ZoneBasis } from './zone-sums.ts';

export interface FieldZoneNumbers {
  readonly zones: readonly ZoneNumbers[];
  /** The ground that no zone holds. */
  readonly outside: ZoneNumbers;
  readonly program: { readonly id: string; readonly name: string } | null;
  /** What stands behind the numbers, and what it cannot tell. */
  readonly notes: readonly string[];
}

/** null where nobody looked at the field. */
export function zoneNumbers(
  basis: ZoneBasis,
  areas: readonly { readonly id: string; readonly area: MultiPolygon }[],
  figures: FigureBook,
): FieldZoneNumbers | null {
  const { ground, infestations, field } = basis;
  const frame = createFrame(ground.origin);
  const zonesM2 = areas.map(({ area }) => geodesicAreaM2(area));
  const local = areas.map(({ area }) => toLocalPolygon(frame, area));
  const patchworks = {} as Record<Case, Patchwork>;
  const shares = {} as Record<Case, readonly PieceShares[]>;
  for (const which of CASES) {
    const patchwork = patchworkOf(ground, infestations, which);
    if (!patchwork) return null;
    patchworks[which] = patchwork;
    shares[which] = patchwork.isCells && shares.mild ? shares.mild : sharesOf(local, zonesM2, ground, patchwork, which);
  }
  const outsideM2 = Math.max(0, ground.areaM2 - zonesM2.reduce((a, b) => a + b, 0));
  const silent = silentCells(infestations, ground.inside.length);
  const sums = Object.fromEntries(
    CASES.map((which) => [which, sumsOf(basis, patchworks[which], shares[which], which)]),
  ) as Record<Case, CaseSums[]>;
  const all = [...areas.map(({ id }) => id), OUTSIDE].map((id, index) =>
    zoneFigures(basis, figures, {
      id,
      path: `zone-numbers/${field}/${id}`,
      areaM2: zonesM2[index] ?? outsideM2,
      side: index < areas.length ? 'inZone' : 'outside',
      unknownAreaM2: patchworks.central.isCells
        ? unknownIn(silent, shares.central[index]!, ground)
        : (zonesM2[index] ?? outsideM2),
      by: { mild: sums.mild[index]!, central: sums.central[index]!, harsh: sums.harsh[index]! },
    }),
  );
  const outside = all.pop()!;
  const order = [...all].sort(
    (a, b) => (b.gainPerHa.central ?? 0) - (a.gainPerHa.central ?? 0) || b.areaM2 - a.areaM2 || (a.id < b.id ? -1 : 1),
  );
  return {
    zones: all.map((one) => ({ ...one, rank: order.indexOf(one) + 1 })),
    outside,
    program: basis.program && { id: basis.program.id, name: basis.program.name },
    notes: notesOf(infestations, patchworks.central.isCells),
  };
}

function unknownIn(silent: Uint8Array | null, { at }: PieceShares, { grid }: FieldGround): number {
  return silent === null ? 0 : at.reduce((sum, cell) => sum + silent[cell]!, 0) * grid.cellM ** 2;
}

function notesOf(infestations: readonly FieldInfestation[], isCells: boolean): string[] {
  if (!isCells) {
    return [
      'The field is rated, not mapped: nobody knows where in it the weed stands. The ranges run from a zone that misses it to a zone that holds as much of it as fits.',
    ];
  }
  const flat = infestations.filter(({ map }) => map.basis === 'points' || map.basis === 'clean round');
  return flat.length > 0 && flat.length === infestations.filter((one) => one.map.basis !== 'nothing').length
    ? ['Too few counts for a map: every part of the field is given the field’s mean.']
    : [];
}
