/** From points to cells: the ground about single points, a sketch by inverse distance, a surface by log kriging. */
import { convexHull, distanceToHullM } from '../geometry/hull.ts';
import { indexPoints } from '../geometry/point-index.ts';
import type { GridShape } from '../geometry/types.ts';
import { inverseDistance } from '../statistics/idw.ts';
import { ordinaryKriging } from '../statistics/kriging.ts';
import { normalCdf } from '../statistics/special.ts';
import { summarise } from '../statistics/summary.ts';
import type { EmpiricalVariogram, VariogramOptions } from '../statistics/variogram.ts';
import { boxDiagonalM, empiricalVariogram } from '../statistics/variogram.ts';
import type { ChosenVariogram } from '../statistics/variogram-choice.ts';
import { chooseVariogram } from '../statistics/variogram-choice.ts';
import { practicalRangeM } from '../statistics/variogram-model.ts';
import type { ScoutingDensity } from './scouting-density.ts';
import { thinned, type ThinnedDensity } from './thinned-density.ts';

/** A grid over a field and which of its cells are field. */
export interface FieldGrid {
  readonly grid: GridShape;
  /** 1 for cells inside the field, exclusions out; row-major. */
  readonly inside: Uint8Array;
}

/** A cell of which any part is field belongs to it. */
export function fieldGrid({ grid, inside, cellAreaM2 }: FieldGrid & { readonly cellAreaM2: Float64Array }): FieldGrid {
  return { grid, inside: inside.map((is, cell) => (is || cellAreaM2[cell]! > 0 ? 1 : 0)) };
}

/** Density of each cell; NaN is unknown. */
export interface Surface {
  readonly densityPerM2: Float64Array;
  /** P(density above the threshold); null where the method has none. */
  readonly probabilityAbove: Float64Array | null;
  readonly known: Uint8Array;
}

const POINT_REACH_M = 15;
const SKETCH_NEIGHBOURS = 12;
/** Kriging uses every place up to this number, above it the nearest ones. */
const KRIGE_ALL_UP_TO = 250;
const KRIGE_NEIGHBOURS = 32;
/** Cells between two turns of the generator. */
const CHUNK = 256;
/** Above this variance of the logarithm the mean is not reliable and the median is shown. */
const LARGEST_LOG_VARIANCE = 4;
const UNKNOWN_ABOVE_SILL_FRACTION = 0.9;

/** Each point's density within 15 m, or half the spacing where that is less; all else unknown. */
export function pointGround(field: FieldGrid, density: ScoutingDensity): Surface {
  const surface = unknownSurface(field);
  const reachM = Math.min(POINT_REACH_M, density.spacingM === null ? Infinity : density.spacingM / 2);
  const index = indexPoints(density.xM, density.yM);
  const one = new Int32Array(1);
  const { cells, xM, yM } = cellsWithin(field, () => true);
  for (let i = 0; i < cells.length; i++) {
    index.nearest(xM[i]!, yM[i]!, 1, one);
    const place = one[0]!;
    if (Math.hypot(density.xM[place]! - xM[i]!, density.yM[place]! - yM[i]!) > reachM) continue;
    surface.densityPerM2[cells[i]!] = density.densityPerM2[place]!;
    surface.known[cells[i]!] = 1;
  }
  return surface;
}

/** Inverse distance, power 2, 12 neighbours, within the hull grown by half the spacing. No probability: it has no variance. */
export function sketchSurface(field: FieldGrid, density: ScoutingDensity): Surface {
  const surface = unknownSurface(field);
  const { cells, xM, yM } = cellsWithin(field, withinReach(density, density.spacingM! / 2));
  const z = inverseDistance({ xM: density.xM, yM: density.yM, z: density.densityPerM2 }, xM, yM, {
    neighbours: SKETCH_NEIGHBOURS,
  });
  for (let i = 0; i < cells.length; i++) {
    surface.densityPerM2[cells[i]!] = z[i]!;
    surface.known[cells[i]!] = 1;
  }
  return surface;
}

/** The variogram of log(1 + density) that is used, and what it was fitted to. */
export interface DensityVariogram extends ChosenVariogram {
  readonly empirical: EmpiricalVariogram;
  /** Cressie–Hawkins γ of the same lags: outliers weigh less. */
  readonly robustGamma: Float64Array;
  /** Mean of half the squared difference over all pairs of places: the sample variance. */
  readonly gammaOfAll: number;
  /** The places that it was made from: all, or so many drawn by lot. */
  readonly used: ThinnedDensity;
  readonly practicalRangeM: number;
  /** null: structure enough for a surface. Else why there is none. */
  readonly noStructure: string | null;
}

/** Least pairs a lag, tried in turn until at least `LEAST_LAGS` lags are left: 30, fewer where there are few places. */
const LEAST_PAIRS = [30, 15, 8, 5];
const LEAST_LAGS = 6;
/** Cut-off as a share of the diagonal, tried in turn: a small regular grid has only two distances within a third of it. */
const CUTOFF_SHARES = [1 / 3, 1 / 2, 1];
/** Pairs grow with the square of the places: 2000 have 2 million. */
const THIN_ABOVE = 2000;

/**
 * Variogram of log(1 + density), Matheron, cut off at a third of the field's diagonal, farther where that leaves too few lags;
 * above `THIN_ABOVE` places from so many of them, drawn by lot.
 * No spatial structure: the nugget above 80 % of the sill, or the range parameter below half the spacing.
 * @returns null where nothing can be fitted
 * @source methods-spatial §5
 */
export function densityVariogram(density: ScoutingDensity): DensityVariogram | null {
  const used = thinned(density, THIN_ABOVE);
  const { xM, yM, densityPerM2 } = used;
  const z = densityPerM2.map(Math.log1p);
  const diagonalM = boxDiagonalM(xM, yM);
  let options: VariogramOptions = { minPairs: LEAST_PAIRS[0]! };
  let empirical = empiricalVariogram(xM, yM, z, options);
  for (const share of CUTOFF_SHARES) {
    for (const minPairs of LEAST_PAIRS) {
      if (empirical.gamma.length >= LEAST_LAGS) break;
      const tried = { minPairs, cutoffM: share * diagonalM };
      const wider = empiricalVariogram(xM, yM, z, tried);
      if (wider.gamma.length > empirical.gamma.length) [empirical, options] = [wider, tried];
    }
  }
  const chosen = chooseVariogram({ xM, yM, z }, empirical);
  if (!chosen) return null;
  const { nugget, partialSill, rangeM } = chosen.model;
  const noStructure =
    nugget > 0.8 * (nugget + partialSill)
      ? 'neighboring quadrats are hardly more alike than distant ones'
      : rangeM < density.spacingM! / 2
        ? 'likeness ends within half the distance between quadrats'
        : null;
  const robust = empiricalVariogram(xM, yM, z, { ...options, estimator: 'cressie-hawkins' });
  return {
    ...chosen,
    empirical,
    robustGamma: robust.gamma,
    gammaOfAll: summarise(z).variance,
    used,
    practicalRangeM: practicalRangeM(chosen.model),
    noStructure,
  };
}

export interface KrigedSurface extends Surface {
  readonly probabilityAbove: Float64Array;
  /** Known cells held at the largest density counted, and cells showing the median because the mean was not reliable. */
  readonly heldCells: number;
  readonly medianCells: number;
}

/**
 * Ordinary kriging of log(1 + density), the nugget as measurement error (counts are noise): mean density
 * e^(ẑ + σ²/2) − 1, held within 0 and the largest density counted, and P(density above the threshold) by the normal.
 * Known is what lies in the hull grown by min(half the practical range, 1.5 × spacing) with a variance below 0.9 × the
 * partial sill.
 * @source methods-spatial §5, §6, §9, §13
 */
export function* krigedSurface(
  field: FieldGrid,
  density: ScoutingDensity,
  { model, practicalRangeM: reach }: DensityVariogram,
  thresholdPerM2: number,
): Generator<readonly [number, number], KrigedSurface, void> {
  const { xM, yM, densityPerM2 } = density;
  const kriging = ordinaryKriging({ xM, yM, z: densityPerM2.map(Math.log1p) }, model, {
    nugget: 'measurement error',
    ...(density.places > KRIGE_ALL_UP_TO ? { neighbours: KRIGE_NEIGHBOURS } : {}),
  });
  const target = cellsWithin(field, withinReach(density, Math.min(reach / 2, 1.5 * density.spacingM!)));
  const count = target.cells.length;
  const mean = new Float64Array(count);
  const variance = new Float64Array(count);
  for (let from = 0; from < count; from += CHUNK) {
    yield [from, count];
    kriging.predict(target.xM, target.yM, from, Math.min(count, from + CHUNK), mean, variance);
  }

  const surface = { ...unknownSurface(field), probabilityAbove: new Float64Array(field.inside.length).fill(NaN) };
  const largest = densityPerM2.reduce((most, d) => Math.max(most, d), 0);
  const logThreshold = Math.log1p(thresholdPerM2);
  let [heldCells, medianCells] = [0, 0];
  for (let i = 0; i < count; i++) {
    const v = variance[i]!;
    if (!(v < UNKNOWN_ABOVE_SILL_FRACTION * model.partialSill)) continue;
    const cell = target.cells[i]!;
    const unreliable = v > LARGEST_LOG_VARIANCE;
    const value = Math.expm1(mean[i]! + (unreliable ? 0 : v / 2));
    if (unreliable) medianCells++;
    if (value < 0 || value > largest) heldCells++;
    surface.densityPerM2[cell] = Math.min(largest, Math.max(0, value));
    surface.probabilityAbove[cell] =
      v > 0 ? normalCdf((mean[i]! - logThreshold) / Math.sqrt(v)) : mean[i]! >= logThreshold ? 1 : 0;
    surface.known[cell] = 1;
  }
  return { ...surface, heldCells, medianCells };
}

export function unknownSurface({ inside }: FieldGrid): {
  densityPerM2: Float64Array;
  probabilityAbove: null;
  known: Uint8Array;
} {
  return {
    densityPerM2: new Float64Array(inside.length).fill(NaN),
    probabilityAbove: null,
    known: new Uint8Array(inside.length),
  };
}

/** Whether a point lies in the hull of the places, grown by so many meters. */
export function withinReach(
  { xM, yM }: Pick<ScoutingDensity, 'xM' | 'yM'>,
  growM: number,
): (x: number, y: number) => boolean {
  const hull = convexHull(xM, yM);
  return (x, y) => distanceToHullM(hull, x, y) <= growM;
}

/** The field's cells whose centre lies in a convex region, with the centres: each row is looked at from its two ends. */
function cellsWithin({ grid, inside }: FieldGrid, isIn: (x: number, y: number) => boolean) {
  const cells: number[] = [];
  const xM: number[] = [];
  const yM: number[] = [];
  const xOf = (column: number) => grid.x0M + (column + 0.5) * grid.cellM;
  for (let row = 0; row < grid.rows; row++) {
    const y = grid.y0M + (row + 0.5) * grid.cellM;
    const base = row * grid.columns;
    let from = 0;
    let to = grid.columns - 1;
    while (from <= to && !(inside[base + from] && isIn(xOf(from), y))) from++;
    while (to > from && !(inside[base + to] && isIn(xOf(to), y))) to--;
    for (let column = from; column <= to; column++) {
      if (!inside[base + column]) continue;
      cells.push(base + column);
      xM.push(xOf(column));
      yM.push(y);
    }
  }
  return { cells: Int32Array.from(cells), xM: Float64Array.from(xM), yM: Float64Array.from(yM) };
}
