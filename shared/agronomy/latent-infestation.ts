/**
 * The uppermost rung: 20 places and more by the latent count model. Two chains tell it; while they run, a quick look by Laplace's
 * method stands in. What the counts do not reach stays unknown.
 * @source methods-spatial §4, §7, §8, §9
 */
import type { Range } from '../model/range.ts';
import { UNKNOWN_RANGE } from '../model/range.ts';
import type { ChainResult, LatentInput } from '../statistics/latent/chain.ts';
import { latentChain } from '../statistics/latent/chain.ts';
import { mustRunOn } from '../statistics/latent/both-chains.ts';
import { joinChains, type JoinedChains, latentParameters } from '../statistics/latent/posterior.ts';
import { latentPreview } from '../statistics/latent/preview.ts';
import { LOG_RANGE, LOG_SILL } from '../statistics/latent/priors.ts';
import { byFieldMean, SURFACE_FROM } from './counted-infestation.ts';
import type { Infestation, InfestationInput } from './infestation-answer.ts';
import { answer } from './infestation-answer.ts';
import { FEW_POSITIVES, surfaceRange } from './infested-area.ts';
import { findsFollowPath } from './finds-along-path.ts';
import type { InfestedRange } from './infested-range.ts';
import { infestedRange } from './infested-range.ts';
import { areaOfBlocks, densityOnDisplay, latentGrid, type LatentGrid, probabilityOnDisplay } from './latent-grid.ts';
import { latentCells } from './latent-surface.ts';
import { latentNotes } from './latent-words.ts';
import type { ScoutingDensity } from './scouting-density.ts';
import type { DensityVariogram, FieldGrid, KrigedSurface } from './surface-methods.ts';
import { unknownSurface, withinReach } from './surface-methods.ts';

type Progress = readonly [done: number, total: number];

/** Where the model's parts come from. */
export interface LatentSource {
  /** One of the two chains of the field's counts; null: it is run here. */
  chain(chain: 0 | 1): Generator<Progress, ChainResult | null, void>;
  /** Main direction of the harvest path, radians from x towards y; null where none is known. */
  direction(): Generator<Progress, number | null, void>;
}

const SURFACE_POSITIVES = 3;
const SKETCH_LABEL_BELOW = 50;
const UNKNOWN_ABOVE_LEFT = 0.9;
/** Of ground within reach of the counts. Where they tell less, they speak for the field as one. */
const LEAST_KNOWN_FRACTION = 0.1;
/** Chains hang on it and on the counts alone. */
const SEED = 1;

/** Whether counts are enough for the model: 20 places, 3 of them with plants. */
export function bearsSurface({ places, positives }: Pick<ScoutingDensity, 'places' | 'positives'>): boolean {
  return places >= SURFACE_FROM && positives >= SURFACE_POSITIVES;
}

/** Finds, and places without, below which lines mean nothing; above this many places strips can be drawn. */
const LEAST_IN_LINE = 8;
const MOST_IN_LINE = 1000;

/** From so many places on likeness may reach farther along the path whether or not the finds follow it: they tell by themselves. */
const DIRECTION_FROM = 150;

type Finds = Pick<ScoutingDensity, 'places' | 'positives'>;

/** Whether the direction of the harvest path can matter: where plants may stand in line with it, or places are many. */
export function asksDirection(finds: Finds): boolean {
  return finds.places >= DIRECTION_FROM || mayFollowPath(finds);
}

function mayFollowPath({ places, positives }: Finds): boolean {
  return positives >= LEAST_IN_LINE && places - positives >= LEAST_IN_LINE && places <= MOST_IN_LINE;
}

export interface LatentSetting {
  readonly field: FieldGrid;
  readonly grid: LatentGrid;
  readonly input: LatentInput;
  /** Whether the finds stand in line with the harvest path. */
  readonly followsPath: boolean;
}

/**
 * What the chains of a field's counts run over. Strips of 10 to 40 m at 200 quadrats were held by the 90 % range in 75 % of simulated
 * fields without the path's direction and in 88 % with it (24 fields, the range a quarter narrower); given to few counts that do not
 * follow the path it makes less ground known (`npm run bench infested-cover`).
 * @param direction of the harvest path, radians from x towards y; null where none is known
 */
export function latentSetting(
  field: FieldGrid,
  density: ScoutingDensity,
  direction: number | null = null,
): LatentSetting {
  const { xM, yM, count, effortM2 } = density;
  const grid = latentGrid(field);
  const followsPath = direction !== null && mayFollowPath(density) && findsFollowPath({ xM, yM, count }, direction);
  const isUsed = direction !== null && (followsPath || density.places >= DIRECTION_FROM);
  return {
    field,
    grid,
    followsPath,
    input: { places: { xM, yM, count, effortM2 }, cells: grid.cells, ...(isUsed ? { direction } : {}) },
  };
}

/** One chain, from its beginning. */
export function fieldChain({ input }: LatentSetting, chain: 0 | 1): Generator<Progress, ChainResult, void> {
  return latentChain(input, { seed: SEED, chain });
}

/** A quick look while the chains run: the model at the centers of its priors, the range the error that was measured of such maps. */
export function byPreview(
  input: InfestationInput,
  setting: LatentSetting,
  density: ScoutingDensity,
  notes: readonly string[],
): Infestation {
  const { xM, yM } = setting.grid.cells;
  const { probability, medianPerM2, logVariance } = latentPreview(
    setting.input.places,
    { xM, yM },
    input.thresholdPerM2,
  );
  const sill = Math.exp(LOG_SILL.mean);
  const densest = densestPerM2(density);
  const known = knownCells(
    setting,
    density,
    logVariance.map((v) => v / sill),
    Math.exp(LOG_RANGE.mean),
  );
  const surface = onDisplay(
    setting,
    known,
    medianPerM2.map((d) => Math.min(densest, d)),
    probability,
  );
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

/** The map, its chances and its range from two chains; they are run on once where they do not agree. */
export function* byLatentCounts(
  input: InfestationInput,
  setting: LatentSetting,
  density: ScoutingDensity,
  chains: readonly [ChainResult, ChainResult],
  beside: { readonly variogram: DensityVariogram | null; readonly kriged: KrigedSurface | null },
  notes: readonly string[],
): Generator<Progress, Infestation, void> {
  let told = tell(input, setting, density, joinChains(...chains));
  if (mustRunOn(chains, setting.input, input.thresholdPerM2, told.areaM2)) {
    const [first, second] = chains;
    const longer = [yield* runOn(setting, first), yield* runOn(setting, second)] as const;
    told = tell(input, setting, density, joinChains(...longer));
  }
  const { range, surface, isKnown } = told;
  if (!isKnown || range.saying === 'not settled') {
    const why = isKnown ? 'two runs of the latent count model do not agree on the area' : null;
    return byFieldMean(input, setting.field, density, beside.variogram, why, [...notes]);
  }
  const krigedM2 = beside.kriged ? krigedAreaM2(beside.kriged, surface.known, input.cellAreaM2) : null;
  return answer(input, density, surface, {
    basis: 'surface',
    method: `A surface from ${density.places} places by the latent count model, the infested area by summing each cell's chance of being at or above the threshold.`,
    label: labelOf(density),
    mean: density.meanPerM2,
    share: shareOf(range, knownShare(surface, input.cellAreaM2)!),
    shareOf: 'known',
    variogram: beside.variogram,
    latent: {
      ...range.parameters,
      saying: range.saying,
      followsPath: setting.followsPath,
      range80M2: range.range80M2,
      krigedM2,
    },
    notes: [...latentNotes(range, setting.followsPath), ...notes],
  });
}

function* runOn({ input }: LatentSetting, from: ChainResult): Generator<Progress, ChainResult, void> {
  return yield* latentChain(input, { seed: SEED, chain: from.chain, from });
}

interface Told {
  readonly range: InfestedRange;
  readonly surface: KnownSurface;
  readonly areaM2: Float64Array;
  readonly isKnown: boolean;
}

function tell(
  { cellAreaM2, thresholdPerM2 }: InfestationInput,
  setting: LatentSetting,
  density: ScoutingDensity,
  chains: JoinedChains,
): Told {
  const { field, grid, input } = setting;
  const { meanPerM2, leftShare } = latentCells(chains, densestPerM2(density));
  const known = knownCells(setting, density, leftShare, latentParameters(chains).rangeM);
  const areaM2 = areaOfBlocks(
    field,
    grid,
    cellAreaM2.map((area, cell) => area * known.known[cell]!),
  );
  const range = infestedRange({
    chains,
    coarse: grid.cells.coarse,
    areaM2,
    thresholdPerM2,
    places: input.places,
    spacingM: density.spacingM,
    findsFollowPath: setting.followsPath,
  });
  const surface = onDisplay(setting, known, meanPerM2, range.probability);
  return { range, surface, areaM2, isKnown: known.fraction >= LEAST_KNOWN_FRACTION };
}

interface KnownCells {
  /** 1 for display cells that the counts tell something of. */
  readonly known: Uint8Array;
  /** Of the cells within reach of the counts. */
  readonly fraction: number;
}

/**
 * Known is what lies within the hull of the places, grown by min(half the practical range, 1.5 × spacing), where the counts leave less
 * than 0.9 of the field's variance.
 */
function knownCells(
  { field, grid }: LatentSetting,
  density: ScoutingDensity,
  leftShare: Float64Array,
  rangeM: number,
): KnownCells {
  const isWithin = withinReach(density, Math.min(rangeM / 2, 1.5 * density.spacingM!));
  const left = densityOnDisplay(field, grid, leftShare);
  const { x0M, y0M, columns, cellM } = field.grid;
  const known = new Uint8Array(field.inside.length);
  let [within, told] = [0, 0];
  for (let cell = 0; cell < known.length; cell++) {
    if (!field.inside[cell]) continue;
    const [x, y] = [x0M + ((cell % columns) + 0.5) * cellM, y0M + (Math.floor(cell / columns) + 0.5) * cellM];
    if (!isWithin(x, y)) continue;
    within++;
    if (left[cell]! < UNKNOWN_ABOVE_LEFT) told += known[cell] = 1;
  }
  return { known, fraction: within === 0 ? 0 : told / within };
}

interface KnownSurface {
  readonly densityPerM2: Float64Array;
  readonly probabilityAbove: Float64Array;
  readonly known: Uint8Array;
}

function onDisplay(
  { field, grid }: LatentSetting,
  { known }: KnownCells,
  densityPerM2: Float64Array,
  probability: Float64Array,
): KnownSurface {
  const [density, chance] = [
    densityOnDisplay(field, grid, densityPerM2),
    probabilityOnDisplay(field, grid, probability),
  ];
  const unknown = unknownSurface(field).densityPerM2;
  const where = (values: Float64Array): Float64Array =>
    unknown.map((none, cell) => (known[cell] ? values[cell]! : none));
  return { densityPerM2: where(density), probabilityAbove: where(chance), known };
}

function knownShare({ known, probabilityAbove }: KnownSurface, cellAreaM2: Float64Array): number | null {
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

function densestPerM2({ densityPerM2 }: ScoutingDensity): number {
  return densityPerM2.reduce((most, d) => Math.max(most, d), 0);
}
