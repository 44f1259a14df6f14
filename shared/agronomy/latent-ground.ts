/** What the latent count model makes known of a field, whatever the threshold: cells with a density, and what its chains kept. */
import { latentParameters, type JoinedChains } from '../statistics/latent/posterior.ts';
import { areaOfBlocks, densityOnDisplay, probabilityOnDisplay } from './latent-grid.ts';
import { latentCells } from './latent-surface.ts';
import { type InfestedRange, infestedRange } from './infested-range.ts';
import type { LatentSetting } from './latent-setting.ts';
import type { ScoutingDensity } from './scouting-density.ts';
import { withinReach } from './surface-methods.ts';

const UNKNOWN_ABOVE_LEFT = 0.9;

export interface KnownCells {
  /** 1 for display cells that the counts tell something of. */
  readonly known: Uint8Array;
  /** Of the cells within reach of the counts. */
  readonly fraction: number;
}

/**
 * Known is what lies within the hull of the places, grown by min(half the practical range, 1.5 × spacing), where the counts leave less
 * than 0.9 of the field's variance.
 */
export function knownCells(
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

/** Of a field whose chains have run; all of it holds at every threshold. */
export interface LatentGround {
  readonly setting: LatentSetting;
  readonly density: ScoutingDensity;
  readonly chains: JoinedChains;
  readonly known: KnownCells;
  /** Known area of each model cell, m². */
  readonly areaM2: Float64Array;
  /** Of each display cell, plants/m²; NaN where nothing is known. */
  readonly densityPerM2: Float64Array;
}

/** @param cellAreaM2 of each display cell @cost kept × cells */
export function latentGround(
  setting: LatentSetting,
  density: ScoutingDensity,
  cellAreaM2: Float64Array,
  chains: JoinedChains,
): LatentGround {
  const { field, grid } = setting;
  const { meanPerM2, leftShare } = latentCells(chains, densestPerM2(density));
  const known = knownCells(setting, density, leftShare, latentParameters(chains).rangeM);
  const knownAreaM2 = cellAreaM2.map((area, cell) => area * known.known[cell]!);
  return {
    setting,
    density,
    chains,
    known,
    areaM2: areaOfBlocks(field, grid, knownAreaM2),
    densityPerM2: whereKnown(known, densityOnDisplay(field, grid, meanPerM2)),
  };
}

/** The range of the infested area at a threshold, and the chance of each display cell. @cost kept × cells: tens of milliseconds */
export function groundAt(
  { setting, density, chains, known, areaM2 }: LatentGround,
  thresholdPerM2: number,
): { readonly range: InfestedRange; readonly probabilityAbove: Float64Array } {
  const { field, grid, input, followsPath } = setting;
  const range = infestedRange({
    chains,
    coarse: grid.cells.coarse,
    areaM2,
    thresholdPerM2,
    places: input.places,
    spacingM: density.spacingM,
    findsFollowPath: followsPath,
  });
  return { range, probabilityAbove: whereKnown(known, probabilityOnDisplay(field, grid, range.probability)) };
}

export function densestPerM2({ densityPerM2 }: ScoutingDensity): number {
  return densityPerM2.reduce((most, d) => Math.max(most, d), 0);
}

/** NaN elsewhere. */
export function whereKnown({ known }: KnownCells, values: Float64Array): Float64Array {
  return values.map((value, cell) => (known[cell] ? value : NaN));
}
