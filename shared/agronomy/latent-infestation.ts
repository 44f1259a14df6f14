/**
 * The uppermost rung: 20 places and more by the latent count model. Two chains tell it; while they run, a quick look by Laplace's
 * method stands in. What the counts do not reach stays unknown.
 * @source methods-spatial §4, §7, §8, §9
 */
import type { Range } from '../model/range.ts';
import { UNKNOWN_RANGE } from '../model/range.ts';
import type { ChainResult } from '../statistics/latent/chain.ts';
import { joinChains } from '../statistics/latent/posterior.ts';
import { latentPreview } from '../statistics/latent/preview.ts';
import { LOG_RANGE, LOG_SILL } from '../statistics/latent/priors.ts';
import { byFieldMean } from './counted-infestation.ts';
import type { Infestation, InfestationInput } from './infestation-answer.ts';
import { answer } from './infestation-answer.ts';
import { FEW_POSITIVES, surfaceRange } from './infested-area.ts';
import type { InfestedRange } from './infested-range.ts';
import { densityOnDisplay, probabilityOnDisplay } from './latent-grid.ts';
import { densestPerM2, groundAt, knownCells, latentGround, type LatentGround, whereKnown } from './latent-ground.ts';
import { type LatentSetting, runOn } from './latent-setting.ts';
import { latentNotes } from './latent-words.ts';
import type { ScoutingDensity } from './scouting-density.ts';
import type { DensityVariogram, KrigedSurface } from './surface-methods.ts';

type Progress = readonly [done: number, total: number];

/** Where the model's parts come from. */
export interface LatentSource {
  /** One of the two chains of the field's counts; null: it is run here. */
  chain(chain: 0 | 1): Generator<Progress, ChainResult | null, void>;
  /** Main direction of the harvest path, radians from x towards y; null where none is known. */
  direction(): Generator<Progress, number | null, void>;
}

const SKETCH_LABEL_BELOW = 50;
/** Of ground within reach of the counts. Where they tell less, they speak for the field as one. */
const LEAST_KNOWN_FRACTION = 0.1;

/** A quick look while the chains run: the model at the centers of its priors, the range the error that was measured of such maps. */
export function byPreview(
  input: InfestationInput,
  setting: LatentSetting,
  density: ScoutingDensity,
  notes: readonly string[],
): Infestation {
  const { field, grid } = setting;
  const { xM, yM } = grid.cells;
  const { probability, medianPerM2, logVariance } = latentPreview(
    setting.input.places,
    { xM, yM },
    input.thresholdPerM2,
  );
  const sill = Math.exp(LOG_SILL.mean);
  const densest = densestPerM2(density);
  const leftShare = logVariance.map((v) => v / sill);
  const cells = knownCells(setting, density, leftShare, Math.exp(LOG_RANGE.mean));
  const median = medianPerM2.map((d) => Math.min(densest, d));
  const surface = {
    known: cells.known,
    densityPerM2: whereKnown(cells, densityOnDisplay(field, grid, median)),
    probabilityAbove: whereKnown(cells, probabilityOnDisplay(field, grid, probability)),
  };
  const share = knownShare(surface, input.cellAreaM2);
  return answer(input, density, surface, {
    basis: 'surface',
    method: `A quick look at ${density.places} places while the latent count model runs.`,
    label: labelOf(density),
    mean: density.meanPerM2,
    share: share === null ? UNKNOWN_RANGE : surfaceRange(share, density, input.thresholdPerM2),
    shareOf: 'known',
    notes: ['A quick look: the map and its range will be worked out anew in a moment.', ...notes],
  });
}

interface Beside {
  readonly variogram: DensityVariogram | null;
  readonly kriged: KrigedSurface | null;
}

/** The map, its chances and its range from two chains; they are run on once where they do not agree. */
export function* byLatentCounts(
  input: InfestationInput,
  setting: LatentSetting,
  density: ScoutingDensity,
  chains: readonly [ChainResult, ChainResult],
  beside: Beside,
  notes: readonly string[],
): Generator<Progress, Infestation, void> {
  const ground = latentGround(setting, density, input.cellAreaM2, joinChains(...chains));
  const told = latentAnswer(input, ground, beside, notes);
  if (told.isSettled || chains[0].parts > 1) return told.map;
  const [first, second] = chains;
  const longer = joinChains(yield* runOn(setting, first), yield* runOn(setting, second));
  return latentAnswer(input, latentGround(setting, density, input.cellAreaM2, longer), beside, notes).map;
}

/** What chains that have run say at the threshold of the input, and whether running them on would change nothing. */
export function latentAnswer(
  input: InfestationInput,
  ground: LatentGround,
  { variogram, kriged }: Beside,
  notes: readonly string[],
): { readonly map: Infestation; readonly isSettled: boolean } {
  const { setting, density, known, areaM2, densityPerM2 } = ground;
  const { range, probabilityAbove } = groundAt(ground, input.thresholdPerM2);
  const isKnown = known.fraction >= LEAST_KNOWN_FRACTION;
  const isSettled = range.saying !== 'not settled' || setting.grid.cells.coarse.every((cell) => areaM2[cell] === 0);
  if (!isKnown || range.saying === 'not settled') {
    const why = isKnown ? 'two runs of the latent count model do not agree on the area' : null;
    return { map: byFieldMean(input, setting.field, density, variogram, why, [...notes]), isSettled };
  }
  const surface = { known: known.known, densityPerM2, probabilityAbove };
  const krigedM2 = kriged ? krigedAreaM2(kriged, surface.known, input.cellAreaM2) : null;
  const map = answer(input, density, surface, {
    basis: 'surface',
    method: `A surface from ${density.places} places by the latent count model, the infested area by summing each cell's chance of being at or above the threshold.`,
    label: labelOf(density),
    mean: density.meanPerM2,
    share: shareOf(range, knownShare(surface, input.cellAreaM2)!),
    shareOf: 'known',
    variogram,
    latent: {
      ...range.parameters,
      saying: range.saying,
      followsPath: setting.followsPath,
      range80M2: range.range80M2,
      krigedM2,
    },
    notes: [...latentNotes(range, setting.followsPath), ...notes],
  });
  return { map, isSettled };
}

function knownShare(
  { known, probabilityAbove }: { readonly known: Uint8Array; readonly probabilityAbove: Float64Array },
  cellAreaM2: Float64Array,
): number | null {
  let [area, infested] = [0, 0];
  for (let cell = 0; cell < known.length; cell++) {
    if (!known[cell]) continue;
    area += cellAreaM2[cell]!;
    infested += cellAreaM2[cell]! * probabilityAbove[cell]!;
  }
  return area > 0 ? infested / area : null;
}

/** By kriging, the same ground: cells that it knows as well. */
function krigedAreaM2(
  { probabilityAbove, known: its }: KrigedSurface,
  known: Uint8Array,
  areaM2: Float64Array,
): number {
  let sum = 0;
  for (let cell = 0; cell < known.length; cell++)
    if (known[cell] && its[cell]) sum += areaM2[cell]! * probabilityAbove[cell]!;
  return sum;
}

/** The central share is that of the map's own cells; never outside of its range. */
function shareOf({ range90M2, knownAreaM2 }: InfestedRange, central: number): Range {
  const [low, high] = [range90M2.low / knownAreaM2, range90M2.high / knownAreaM2];
  return { low, central: Math.min(high, Math.max(low, central)), high };
}

function labelOf({ places, positives }: ScoutingDensity): Infestation['label'] {
  return places < SKETCH_LABEL_BELOW ? 'sketch' : positives < FEW_POSITIVES ? 'few finds' : null;
}
