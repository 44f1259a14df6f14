/**
 * A field as pieces with a density of each species: its cells where there is a map, else the strata behind ratings. Sums over
 * non-linear functions (loss, seed) run over pieces, never over a field's mean density.
 */
import { type Case } from '../model/range.ts';
import type { FieldGround } from './steps/field.ts';
import type { FieldInfestation } from './steps/infestation.ts';
import type { Scope } from './step.ts';

export interface Patchwork {
  /** True: piece i is cell i of the field's grid. */
  readonly isCells: boolean;
  /** Of a cell: all of it where its centre is inside, else nothing: what the machine's raster counts, too. */
  readonly areaM2: Float64Array;
  /** One array a species, plants/m² in each piece. */
  readonly densityPerM2: Float64Array[];
}

/** null where no species has any evidence. A species without evidence counts as none, and is told elsewhere. */
export function patchworkOf(
  ground: FieldGround,
  infestations: readonly FieldInfestation[],
  which: Case,
): Patchwork | null {
  if (infestations.every((one) => one.map.basis === 'nothing')) return null;
  const mapped = infestations.some((one) => one.densityPerM2 !== null);
  const end = which === 'mild' ? 'low' : which === 'harsh' ? 'high' : 'central';
  if (mapped) {
    const cellAreaM2 = ground.grid.cellM ** 2;
    const areaM2 = new Float64Array(ground.inside.length);
    for (let cell = 0; cell < areaM2.length; cell++) areaM2[cell] = ground.inside[cell]! * cellAreaM2;
    return {
      isCells: true,
      areaM2,
      densityPerM2: infestations.map((one) => {
        if (one.densityPerM2) return one.densityPerM2[which];
        const out = new Float64Array(areaM2.length);
        // A rating beside another species' map: its plants evenly over the field.
        const even = one.strata ? one.strata.areaFraction[end] * one.strata.densityPerM2[end] : 0;
        if (even > 0) for (let cell = 0; cell < out.length; cell++) out[cell] = ground.inside[cell]! * even;
        return out;
      }),
    };
  }
  // Ratings only: strata nest, the least share first, as if the species stood on the same ground.
  const shares = infestations.map((one) => one.strata?.areaFraction[end] ?? 0);
  const edges = [...new Set([0, ...shares, 1])].sort((a, b) => a - b);
  const pieces = edges.slice(1).map((edge, index) => ({ from: edges[index]!, to: edge }));
  return {
    isCells: false,
    areaM2: Float64Array.from(pieces, ({ from, to }) => (to - from) * ground.areaM2),
    densityPerM2: infestations.map((one, species) =>
      Float64Array.from(pieces, ({ from }) => (from < shares[species]! ? (one.strata?.densityPerM2[end] ?? 0) : 0)),
    ),
  };
}

export function casesOf(scope: Scope): Case {
  if (scope.case === undefined) throw new Error('casesOf: the step is computed per case');
  return scope.case;
}
