/**
 * Pairs of weed density and yield at the places of a round: what was counted there, and the yield map around it.
 * @source methods-spatial §14; the radius is *assumed*: one swath, since a yield map smears 10–20 m
 */
import type { Grid } from '../geometry/types.ts';

/** What one weed had at a place. */
export interface WeedCount {
  readonly xM: number;
  readonly yM: number;
  readonly effortM2: number;
  readonly count: number;
  readonly presenceOnly?: boolean;
  readonly atLeast?: boolean;
}

export interface WeedPlaces {
  readonly species: string;
  /** I′ of the literature, per cent per (plant/m²): how weeds are made alike. */
  readonly lossPerPlant: number;
  readonly places: readonly WeedCount[];
}

export interface LossPair {
  readonly xM: number;
  readonly yM: number;
  /** All weeds as plants of the reference weed that would compete as much. */
  readonly densityPerM2: number;
  /** Mean of the cells of the yield map nearby. */
  readonly yieldKgHa: number;
  readonly cells: number;
}

export interface GatheredPairs {
  readonly pairs: readonly LossPair[];
  /** The weed with the largest load; null where none stood. */
  readonly reference: string | null;
  /** Plants of the reference weed that compete as one of each weed. */
  readonly weights: Readonly<Record<string, number>>;
  /** Places that are no pair, by why. */
  readonly leftOut: {
    readonly notCounted: number;
    readonly notEveryWeed: number;
    readonly noYield: number;
  };
}

/** Two observations of different weeds nearer than this are one place. */
const SAME_PLACE_M = 0.5;
/** Fewer cells of the yield map are no support. */
const FEWEST_CELLS = 3;

/** @cost O(places · cells within the radius) */
export function gatherPairs(weeds: readonly WeedPlaces[], yieldGrid: Grid, radiusM: number): GatheredPairs {
  const counted = weeds.filter((one) => one.places.length > 0);
  const load = (one: WeedPlaces) =>
    one.lossPerPlant *
    one.places.reduce((sum, place) => sum + (isCounted(place) ? place.count / place.effortM2 : 0), 0);
  const heaviest = counted.reduce<WeedPlaces | null>(
    (most, one) => (most && load(most) >= load(one) ? most : one),
    null,
  );
  const reference = heaviest !== null && load(heaviest) > 0 ? heaviest : null;
  const perPlant = (reference ?? heaviest)?.lossPerPlant ?? 1;
  const weights = Object.fromEntries(weeds.map((one) => [one.species, one.lossPerPlant / perPlant]));
  const byPlace = new Map<string, { xM: number; yM: number; densityPerM2: number; weeds: number; counted: boolean }>();
  for (const weed of counted) {
    for (const place of weed.places) {
      const name = `${Math.round(place.xM / SAME_PLACE_M)} ${Math.round(place.yM / SAME_PLACE_M)}`;
      const known = byPlace.get(name) ?? { xM: place.xM, yM: place.yM, densityPerM2: 0, weeds: 0, counted: true };
      known.weeds++;
      known.counted &&= isCounted(place);
      known.densityPerM2 += (weights[weed.species]! * place.count) / place.effortM2;
      byPlace.set(name, known);
    }
  }
  const leftOut = { notCounted: 0, notEveryWeed: 0, noYield: 0 };
  const pairs: LossPair[] = [];
  for (const { xM, yM, densityPerM2, weeds: of, counted: isSound } of byPlace.values()) {
    const near = yieldNear(yieldGrid, xM, yM, radiusM);
    if (!isSound || !Number.isFinite(densityPerM2)) leftOut.notCounted++;
    else if (of < counted.length) leftOut.notEveryWeed++;
    else if (near === null) leftOut.noYield++;
    else pairs.push({ xM, yM, densityPerM2, ...near });
  }
  return { pairs, reference: reference?.species ?? null, weights, leftOut };
}

function isCounted({ presenceOnly, atLeast }: WeedCount): boolean {
  return presenceOnly !== true && atLeast !== true;
}

/** Mean of the known cells whose centers lie within the radius; null where there are too few. */
export function yieldNear(
  { x0M, y0M, columns, rows, cellM, values }: Grid,
  xM: number,
  yM: number,
  radiusM: number,
): { yieldKgHa: number; cells: number } | null {
  const [column, row, reach] = [(xM - x0M) / cellM - 0.5, (yM - y0M) / cellM - 0.5, radiusM / cellM];
  let [sum, cells] = [0, 0];
  for (let r = Math.max(0, Math.ceil(row - reach)); r <= Math.min(rows - 1, Math.floor(row + reach)); r++) {
    for (let c = Math.max(0, Math.ceil(column - reach)); c <= Math.min(columns - 1, Math.floor(column + reach)); c++) {
      const value = values[r * columns + c]!;
      if (Number.isNaN(value) || (r - row) ** 2 + (c - column) ** 2 > reach ** 2) continue;
      sum += value;
      cells++;
    }
  }
  return cells < FEWEST_CELLS ? null : { yieldKgHa: sum / cells, cells };
}
