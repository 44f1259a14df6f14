/**
 * Where a weed stands in a field and how dense, by the ladder of evidence: nothing → a rating → drawn patches → a few
 * points → a sketch → a surface. Each rung answers what its evidence holds and says what it cannot.
 * @source methods-spatial §4 (which method, by number of points), §9 (unknown ground)
 */
import { byNothing, byPatches, byRating } from './assumed-infestation.ts';
import { byCleanRound, byPoints, bySketch } from './counted-infestation.ts';
import { UNKNOWN_RANGE } from '../model/range.ts';
import type { Infestation, InfestationInput } from './infestation-answer.ts';
import type { ChainResult } from '../statistics/latent/chain.ts';
import { twoFigures } from '../units/rough.ts';
import type { LatentGround } from './latent-ground.ts';
import { byLatentCounts, byPreview, latentAnswer, type LatentSource } from './latent-infestation.ts';
import { asksDirection, bearsSurface, fieldChain, type LatentSetting, latentSetting } from './latent-setting.ts';
import type { ScoutingDensity } from './scouting-density.ts';
import { scoutingDensity } from './scouting-density.ts';
import type { FieldGrid } from './surface-methods.ts';
import { densityVariogram, fieldGrid, krigedSurface } from './surface-methods.ts';

export type { DrawnPatch, Infestation, InfestationBasis, InfestationInput, LatentFacts } from './infestation-answer.ts';

type Progress = readonly [done: number, total: number];

const SKETCH_FROM = 8;
/** Plants that a quadrat is expected to hold at the threshold: below, no method was right; below twice of it, none was tried often. */
const LEAST_EXPECTED_PLANTS = 0.3;
const DOUBTFUL_EXPECTED_PLANTS = 0.5;

/**
 * The infestation of one field by one species in one round.
 * @throws on arrays that do not fit the grid, a threshold that is not above 0, or a place without effort
 * @param ask where the chains of 20 counts and more come from, or a quick look in their place; null: they are run here
 * @cost two chains: see `latentChain`
 */
export function* mapInfestation(
  input: InfestationInput,
  ask: LatentSource | 'quick look' | null = null,
): Generator<Progress, Infestation, void> {
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
  const field = fieldGrid(input);

  if (input.patches.length > 0 && density.places < SKETCH_FROM) return byPatches(input, field, density);
  if (density.places === 0)
    return input.rating === null || input.rating === 'not looked'
      ? byNothing(input, field, density)
      : byRating(input, field, density);
  const notes = [...density.notes];
  if (input.patches.length > 0) notes.push('Drawn patches stay on the map; counts replace their assumed densities.');
  if (density.positives === 0) return byCleanRound(input, field, density, notes);
  if (density.places < SKETCH_FROM) return byPoints(input, field, density, notes);
  return withoutFineThreshold(yield* counted(input, field, density, ask, notes), density, thresholdPerM2);
}

/** 8 counted places and more. */
function* counted(
  input: InfestationInput,
  field: FieldGrid,
  density: ScoutingDensity,
  ask: LatentSource | 'quick look' | null,
  notes: string[],
): Generator<Progress, Infestation, void> {
  if (!bearsSurface(density)) return bySketch(input, field, density, notes);
  if (ask === 'quick look') return byPreview(input, latentSetting(field, density), density, notes);
  const direction = ask && asksDirection(density) ? yield* ask.direction() : null;
  const setting = latentSetting(field, density, direction);
  const chains = [yield* chainOf(setting, ask, 0), yield* chainOf(setting, ask, 1)] as const;
  const variogram = densityVariogram(density);
  const hasStructure = variogram !== null && variogram.noStructure === null;
  const kriged = hasStructure ? yield* krigedSurface(field, density, variogram, input.thresholdPerM2) : null;
  return yield* byLatentCounts(input, setting, density, chains, { variogram, kriged }, notes);
}

/**
 * The same field at another threshold, from chains that have run: without a variogram, and without running them on where they do not
 * agree there.
 * @throws on a threshold that is not above 0
 * @cost tens of milliseconds
 */
export function latentMapAt(input: InfestationInput, ground: LatentGround): Infestation {
  const { map } = latentAnswer(input, ground, { variogram: null, kriged: null }, ground.density.notes);
  return withoutFineThreshold(map, ground.density, input.thresholdPerM2);
}

/** A threshold so low that a quadrat on infested ground would be expected to be empty: the area is refused. @source methods-spatial §8.5 */
function withoutFineThreshold(map: Infestation, density: ScoutingDensity, thresholdPerM2: number): Infestation {
  const meanEffortM2 = density.effortSumM2 / density.places;
  const expected = thresholdPerM2 * meanEffortM2;
  if (expected >= DOUBTFUL_EXPECTED_PLANTS) return map;
  const least = twoFigures(DOUBTFUL_EXPECTED_PLANTS / meanEffortM2);
  const why = `The quadrats are too small for this threshold: at the threshold a quadrat is expected to hold ${twoFigures(expected)} plants, fewer than one in two.`;
  if (expected >= LEAST_EXPECTED_PLANTS)
    return { ...map, notes: [`${why} The infested area is not to be relied on.`, ...map.notes] };
  return {
    ...map,
    probabilityAbove: null,
    infestedAreaM2: UNKNOWN_RANGE,
    infestedFraction: UNKNOWN_RANGE,
    notes: [
      `${why} No method can tell the infested area from them: look at larger quadrats, or set the threshold to ${least} plants/m² or more.`,
      ...map.notes,
    ],
  };
}

function* chainOf(
  setting: LatentSetting,
  ask: LatentSource | null,
  chain: 0 | 1,
): Generator<Progress, ChainResult, void> {
  return (ask ? yield* ask.chain(chain) : null) ?? (yield* fieldChain(setting, chain));
}
