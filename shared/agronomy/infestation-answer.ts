/** What an answer about a field's infestation holds, and what every rung of the ladder computes alike. */
import type { GridShape } from '../geometry/types.ts';
import type { Range } from '../model/range.ts';
import type { Rating } from '../model/records.ts';
import type { Dispersion } from '../statistics/dispersion.ts';
import type { Interval } from '../statistics/intervals.ts';
import type { LatentParameters } from '../statistics/latent/posterior.ts';
import { scaleRange } from './infested-area.ts';
import type { RangeSaying } from './infested-range.ts';
import type { ThreeNumbers } from './rating-densities.ts';
import type { Pattern, ScoutedPlace, ScoutingDensity } from './scouting-density.ts';
import type { DensityVariogram, Surface } from './surface-methods.ts';
import { tellVariogram, type VariogramTold } from './variogram-told.ts';

export interface DrawnPatch {
  /** 1 for cells of the patch; row-major on the grid. */
  readonly cells: Uint8Array;
  readonly densityPerM2: ThreeNumbers;
}

export interface InfestationInput {
  readonly grid: GridShape;
  /** 1 for cells inside the field, exclusions out; row-major. */
  readonly inside: Uint8Array;
  /** Area of each cell that is field, m². A cell of which any part is field belongs to it. */
  readonly cellAreaM2: Float64Array;
  /** The field's area, m². */
  readonly areaM2: number;
  /** One round's places of one species, merged by place. */
  readonly places: readonly ScoutedPlace[];
  readonly rating: Rating | null;
  readonly patches: readonly DrawnPatch[];
  /** Ground at or above it is *infested*, plants/m². */
  readonly thresholdPerM2: number;
}

/** Geometric means over the chains, and what stands beside the 90 % range. */
export interface LatentFacts extends LatentParameters {
  readonly saying: RangeSaying;
  /** Whether the finds follow the harvest path. */
  readonly followsPath: boolean;
  readonly range80M2: Interval;
  /** Infested area of the same ground by kriging log(1 + plants/m²), to compare; null where no variogram could be fitted. */
  readonly krigedM2: number | null;
}

export type InfestationBasis = 'nothing' | 'rating' | 'drawn patches' | 'points' | 'sketch' | 'surface' | 'clean round';

export interface Infestation {
  readonly basis: InfestationBasis;
  /** One sentence for people: how this was made. */
  readonly method: string;
  readonly label: 'sketch' | 'few finds' | null;
  /** Central density of each cell; NaN where unknown. Where it is NaN everywhere, `meanDensityPerM2` is all there is. */
  readonly densityPerM2: Float64Array;
  /** Mild and harsh density of a cell = its central density × factor. */
  readonly lowFactor: number;
  readonly highFactor: number;
  /** The field's mean: Σc/Σe with its 90 % range where there are counts, never the surface's own. */
  readonly meanDensityPerM2: Range;
  /** Mean of the cells of `densityPerM2`, by area; null where none is known. */
  readonly surfaceMeanPerM2: number | null;
  /** P(density at or above the threshold) of each cell; NaN where unknown; null where the method has none. */
  readonly probabilityAbove: Float64Array | null;
  /** 1 for cells with a density of their own. */
  readonly known: Uint8Array;
  readonly knownAreaM2: number;
  readonly unknownAreaM2: number;
  readonly infestedAreaM2: Range;
  readonly infestedFraction: Range;
  /** What `infestedFraction` is a share of: the known ground, or the whole field where there is no map. */
  readonly infestedFractionOf: 'known' | 'field';
  /** From 20 counted places on, where one could be fitted. */
  readonly variogram: VariogramTold | null;
  /** What the latent count model found; null on all other rungs. */
  readonly latent: LatentFacts | null;
  readonly places: number;
  readonly positives: number;
  readonly effortM2: number;
  /** Median distance between neighbouring places, m. */
  readonly spacingM: number | null;
  readonly dispersion: Dispersion | null;
  /** Patchy, even or cannot tell; null below 8 places. */
  readonly pattern: Pattern | null;
  /** What to know before using this, one sentence each. */
  readonly notes: readonly string[];
}

/** What all rungs share: areas, factors and the counts' summary. `share` is of the known area, or of the field. */
export function answer(
  input: InfestationInput,
  density: ScoutingDensity,
  surface: Surface,
  rung: Pick<Infestation, 'basis' | 'method' | 'notes'> & {
    label?: Infestation['label'];
    mean: Range;
    share: Range;
    shareOf: 'known' | 'field';
    variogram?: DensityVariogram | null;
    latent?: LatentFacts;
  },
): Infestation {
  let knownAreaM2 = 0;
  let plants = 0;
  for (let cell = 0; cell < surface.known.length; cell++) {
    if (!surface.known[cell]) continue;
    knownAreaM2 += input.cellAreaM2[cell]!;
    plants += surface.densityPerM2[cell]! * input.cellAreaM2[cell]!;
  }
  const { mean, variogram } = rung;
  const factorsTell = mean.central !== null && mean.central > 0;
  return {
    basis: rung.basis,
    method: rung.method,
    label: rung.label ?? null,
    ...surface,
    lowFactor: factorsTell ? mean.low / mean.central : 1,
    highFactor: factorsTell ? mean.high / mean.central : 1,
    meanDensityPerM2: mean,
    surfaceMeanPerM2: knownAreaM2 > 0 ? plants / knownAreaM2 : null,
    knownAreaM2,
    unknownAreaM2: Math.max(0, input.areaM2 - knownAreaM2),
    infestedAreaM2: scaleRange(rung.share, rung.shareOf === 'known' ? knownAreaM2 : input.areaM2),
    infestedFraction: rung.share,
    infestedFractionOf: rung.shareOf,
    variogram: variogram ? tellVariogram(variogram, input) : null,
    latent: rung.latent ?? null,
    places: density.places,
    positives: density.positives,
    effortM2: density.effortSumM2,
    spacingM: density.spacingM,
    dispersion: density.dispersion,
    pattern: density.pattern,
    notes: rung.notes,
  };
}
