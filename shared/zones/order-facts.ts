/** What the document tells of a hand-off besides rates: sprayer, neighbors, what was sprayed already, what the crop stands. */
import { createFrame } from '../geometry/local-frame.ts';
import { polygonBounds, toLocalPolygon } from '../geometry/polygon.ts';
import { distanceToPolygonM } from '../geometry/polygon-distance.ts';
import type { MultiPolygon } from '../geometry/types.ts';
import type { Farm, Field, Machine } from '../model/farm.ts';
import { cropOf, expectedCrop, seasonOf } from '../model/lookups.ts';
import type { HandOffInput, NearNeighbor } from './hand-off.ts';

export type OrderFacts = Pick<
  HandOffInput,
  'display' | 'field' | 'crop' | 'tolerates' | 'tankL' | 'sectionM' | 'alreadyThisSeason' | 'neighbors'
>;

/** @param sprayer the machine that goes out; else the farm's first sprayer */
export function orderFacts(
  farm: Farm,
  field: Field,
  season: number,
  sprayer: Machine | null = sprayerOf(farm),
): OrderFacts {
  const crop = cropOf(farm, field.id, season);
  return {
    display: farm.display,
    field: field.name,
    crop: crop?.crop ?? expectedCrop(farm, field.id, season).crop,
    tolerates: crop?.tolerates ?? 'not stated',
    tankL: sprayer?.tankL ?? null,
    sectionM: sprayer?.boom ? sprayer.boom.widthM / sprayer.boom.sections : null,
    alreadyThisSeason: sprayedAlready(farm, field.id, season),
    neighbors: neighborsOf(farm, field),
  };
}

export function sprayerOf(farm: Farm): Machine | null {
  return farm.machines.find((one) => one.kind === 'sprayer') ?? null;
}

/** Shares of the full label rate of each ingredient that a field got in a season, added up. */
export function sprayedAlready(farm: Farm, field: string, season: number): Record<string, number> {
  const sums: Record<string, number> = {};
  for (const one of seasonOf(farm, season)?.sprayed ?? []) {
    if (one.where.field !== field) continue;
    for (const part of one.parts) sums[part.ingredient] = (sums[part.ingredient] ?? 0) + part.rateFraction;
  }
  return sums;
}

const DIRECTIONS = ['east', 'north-east', 'north', 'north-west', 'west', 'south-west', 'south', 'south-east'];

/** Each neighbor with its distance from the field's boundary, and where it lies. */
export function neighborsOf(farm: Farm, field: Field): NearNeighbor[] {
  const frame = createFrame(field.frameOrigin);
  const boundary = toLocalPolygon(frame, field.boundary as MultiPolygon);
  const [west, south, east, north] = polygonBounds(boundary);
  return farm.neighbors.map((one) => {
    const corners = 'at' in one ? [one.at] : one.area.flat(2);
    const places = corners.map(([lon, lat]) => frame.toLocal(lon, lat));
    const distances = places.map(([x, y]) => distanceToPolygonM(boundary, x, y));
    const distanceM = Math.min(...distances);
    const [x, y] = places[distances.indexOf(distanceM)]!;
    const turn = Math.atan2(y - (south + north) / 2, x - (west + east) / 2) / (Math.PI / 4);
    return { note: one.note, kind: one.kind, distanceM, direction: DIRECTIONS[(Math.round(turn) + 8) % 8]! };
  });
}
