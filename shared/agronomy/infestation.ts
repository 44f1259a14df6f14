/**
 * Where a weed stands in a field and how dense, by the ladder of evidence: nothing → a rating → drawn patches → a few
 * points → a sketch → a surface. Each rung answers what its evidence holds and says what it cannot.
 * @source methods-spatial §4 (which method, by number of points), §9 (unknown ground)
 */
import { byNothing, byPatches, byRating } from './assumed-infestation.ts';
import { byCleanRound, byFieldMean, byPoints, bySketch, bySurface, SURFACE_FROM } from './counted-infestation.ts';
import type { Infestation, InfestationInput } from './infestation-answer.ts';
import { scoutingDensity } from './scouting-density.ts';
import type { FieldGrid } from './surface-methods.ts';
import { densityVariogram, krigedSurface } from './surface-methods.ts';

export type { DrawnPatch, Infestation, InfestationBasis, InfestationInput } from './infestation-answer.ts';

type Progress = readonly [done: number, total: number];

const SKETCH_FROM = 8;
const SURFACE_POSITIVES = 3;
const LEAST_EXPECTED_PLANTS = 0.5;

/**
 * The infestation of one field by one species in one round.
 * @throws on arrays that do not fit the grid, a threshold that is not above 0, or a place without effort
 * @cost up to 250 places cells × n²/2; above, cells × 32³/6
 */
export function* mapInfestation(input: InfestationInput): Generator<Progress, Infestation, void> {
  const { grid, inside, cellAreaM2, thresholdPerM2 } = input;
  const cells = grid.columns * grid.rows;
  if (
    inside.length !== cells ||
    cellAreaM2.length !== cells ||
    input.patches.some((one) => one.cells.length !== cells)
  ) {
    throw new RangeError(`mapInfestation: expected ${cells} cells in every array`);
  }
  if (!(thresholdPerM2 > 0))
    throw new RangeError(`mapInfestation: expected a threshold above 0 plants/m², got ${thresholdPerM2}`);
  yield [0, 1];
  const density = scoutingDensity(input.places);
  const field: FieldGrid = { grid, inside: anyGround(inside, cellAreaM2) };

  if (input.patches.length > 0 && density.places < SKETCH_FROM) return byPatches(input, field, density);
  if (density.places === 0)
    return input.rating === null || input.rating === 'not looked'
      ? byNothing(input, field, density)
      : byRating(input, field, density);
  const notes = [...density.notes];
  if (input.patches.length > 0) notes.push('Drawn patches stay on the map; counts replace their assumed densities.');
  if (density.positives === 0) return byCleanRound(input, field, density, notes);
  if (density.places < SKETCH_FROM) return byPoints(input, field, density, notes);
  if (thresholdPerM2 * (density.effortSumM2 / density.places) < LEAST_EXPECTED_PLANTS) {
    notes.push(
      'The quadrats are too small for this threshold: at the threshold fewer than one in two would be expected to hold a plant. The infested area is not to be relied on.',
    );
  }
  if (density.places < SURFACE_FROM || density.positives < SURFACE_POSITIVES)
    return bySketch(input, field, density, notes);

  const variogram = densityVariogram(density);
  if (!variogram || variogram.noStructure !== null) return byFieldMean(input, field, density, variogram, notes);
  const surface = yield* krigedSurface(field, density, variogram, thresholdPerM2);
  return bySurface(input, density, variogram, surface, notes);
}

/** 1 for each cell that holds any of the field. */
function anyGround(inside: Uint8Array, cellAreaM2: Float64Array): Uint8Array {
  const out = new Uint8Array(inside.length);
  for (let cell = 0; cell < out.length; cell++) out[cell] = inside[cell] || cellAreaM2[cell]! > 0 ? 1 : 0;
  return out;
}
