/**
 * Where a weed appeared, is gone, or stayed between two rounds: cell by cell, where both rounds know the ground. Ground is taken as
 * above the threshold where that is likelier than not; what either round does not know stays unknown.
 */
import type { Infestation } from '../agronomy/infestation-answer.ts';
import type { ScoutedPlace } from '../agronomy/scouting-density.ts';
import { indexPoints } from '../geometry/point-index.ts';
import type { GridShape } from '../geometry/types.ts';
import type { Range } from '../model/range.ts';
import { UNKNOWN_RANGE } from '../model/range.ts';

/** Ground that a place speaks for, as on the map of few places (methods-spatial §4). */
const POINT_REACH_M = 15;

/** By number in `CellChange.cells`. */
export const CELL_STATES = ['outside', 'unknown', 'clean', 'gone', 'appeared', 'stayed'] as const;
export type CellState = (typeof CELL_STATES)[number];

/** What a round says of each cell: 1 above the threshold, 0 looked at and below, 2 unknown. */
export type GroundSaid = Uint8Array;
const [BELOW, ABOVE, UNKNOWN] = [0, 1, 2];

/** What is said of the ground by a map, or, where a clean round draws none, by the ground about its places. */
export function groundSaid(
  map: Pick<Infestation, 'basis' | 'known' | 'probabilityAbove' | 'densityPerM2' | 'spacingM'>,
  grid: GridShape,
  places: readonly ScoutedPlace[],
  thresholdPerM2: number,
): GroundSaid {
  const said = new Uint8Array(map.known.length).fill(UNKNOWN);
  if (map.basis === 'clean round') {
    const reachM = Math.min(POINT_REACH_M, map.spacingM === null ? Infinity : map.spacingM / 2);
    for (const cell of cellsNear(grid, places, reachM)) said[cell] = BELOW;
    return said;
  }
  for (let cell = 0; cell < said.length; cell++) {
    if (map.known[cell] !== 1) continue;
    const chance = map.probabilityAbove?.[cell] ?? NaN;
    const density = map.densityPerM2[cell]!;
    if (chance === chance) said[cell] = chance >= 0.5 ? ABOVE : BELOW;
    else if (density === density) said[cell] = density >= thresholdPerM2 ? ABOVE : BELOW;
  }
  return said;
}

export interface CellChange {
  /** Index into CELL_STATES, row-major on the field's grid. */
  readonly cells: Uint8Array;
  readonly areaM2: Readonly<Record<Exclude<CellState, 'outside'>, number>>;
}

/** @param cellAreaM2 area of each cell that is field */
export function cellChange(earlier: GroundSaid, later: GroundSaid, cellAreaM2: ArrayLike<number>): CellChange {
  if (earlier.length !== later.length || earlier.length !== cellAreaM2.length)
    throw new RangeError(`cellChange: ${earlier.length}, ${later.length} and ${cellAreaM2.length} cells`);
  const cells = new Uint8Array(earlier.length);
  const areaM2 = { unknown: 0, clean: 0, gone: 0, appeared: 0, stayed: 0 };
  for (let cell = 0; cell < cells.length; cell++) {
    const area = cellAreaM2[cell]!;
    if (!(area > 0)) continue;
    const state = stateOf(earlier[cell]!, later[cell]!);
    cells[cell] = CELL_STATES.indexOf(state);
    areaM2[state] += area;
  }
  return { cells, areaM2 };
}

function stateOf(earlier: number, later: number): Exclude<CellState, 'outside'> {
  if (earlier === UNKNOWN || later === UNKNOWN) return 'unknown';
  if (later === ABOVE) return earlier === ABOVE ? 'stayed' : 'appeared';
  return earlier === ABOVE ? 'gone' : 'clean';
}

/**
 * Change of an area that is known by a range at both ends: from the least that the later one may be less the most that the earlier one
 * may have been, to the other way around. As wide as it must be where nothing is known of how the two errors go together.
 */
export function rangeOfChange(earlier: Range, later: Range): Range {
  if (earlier.central === null || later.central === null) return UNKNOWN_RANGE;
  return {
    low: later.low - earlier.high,
    central: later.central - earlier.central,
    high: later.high - earlier.low,
  };
}

function* cellsNear(grid: GridShape, places: readonly ScoutedPlace[], reachM: number): Generator<number, void, void> {
  if (places.length === 0) return;
  const index = indexPoints(
    Float64Array.from(places, (one) => one.xM),
    Float64Array.from(places, (one) => one.yM),
  );
  const one = new Int32Array(1);
  for (let cell = 0; cell < grid.columns * grid.rows; cell++) {
    const x = grid.x0M + ((cell % grid.columns) + 0.5) * grid.cellM;
    const y = grid.y0M + (Math.floor(cell / grid.columns) + 0.5) * grid.cellM;
    index.nearest(x, y, 1, one);
    const place = places[one[0]!]!;
    if (Math.hypot(place.xM - x, place.yM - y) <= reachM) yield cell;
  }
}
