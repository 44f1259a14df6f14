/** Where a file's records lie, thinned for a small plan: outlines as they are, of points at most a few thousand. */
import type { Bounds, LonLat, MultiPolygon } from '../geometry/types.ts';
import type { HarvestLogRecords, Records, ScoutingRecords } from '../model/records.ts';
import { isFind } from './review-facts.ts';

export type ReviewShapes =
  | {
      readonly are: 'outlines';
      readonly outlines: readonly { readonly name: string; readonly polygon: MultiPolygon }[];
      readonly bounds: Bounds;
    }
  | {
      readonly are: 'lines';
      readonly lines: readonly (readonly LonLat[])[];
      readonly points: readonly LonLat[];
      readonly bounds: Bounds;
    }
  | {
      readonly are: 'points';
      readonly points: readonly LonLat[];
      /** Of counts: whether the weed was found there; null of a log. */
      readonly found: readonly boolean[] | null;
      /** How many there are in the file. */
      readonly of: number;
      readonly bounds: Bounds;
    };

const MOST_POINTS = 3000;
const MOST_OUTLINES = 1000;

/** null of records without a place of their own. */
export function reviewShapes(records: Records): ReviewShapes | null {
  switch (records.kind) {
    case 'boundaries':
    case 'drawn patches': {
      if (records.features.length === 0) return null;
      const outlines = records.features.slice(0, MOST_OUTLINES).map(({ name, polygon }) => ({ name, polygon }));
      return { are: 'outlines', outlines, bounds: records.bounds };
    }
    case 'scouting':
      return countedPlaces(records);
    case 'track':
      return {
        are: 'lines',
        lines: records.lines.map(({ lon, lat }) => evenly(lon.length).map((at): LonLat => [lon[at]!, lat[at]!])),
        points: records.waypoints.map((one) => one.at),
        bounds: records.bounds,
      };
    case 'harvest log':
      return loggedPlaces(records);
    default:
      return null;
  }
}

function countedPlaces({ observations, bounds }: ScoutingRecords): ReviewShapes {
  const places = new Map<string, { at: LonLat; found: boolean }>();
  for (const { at, count } of observations) {
    const key = `${at[0]} ${at[1]}`;
    const place = places.get(key) ?? { at, found: false };
    place.found ||= isFind(count);
    places.set(key, place);
  }
  const all = [...places.values()];
  const kept = evenly(all.length).map((index) => all[index]!);
  return {
    are: 'points',
    points: kept.map((one) => one.at),
    found: kept.map((one) => one.found),
    of: all.length,
    bounds,
  };
}

function loggedPlaces({ lon, lat, count, bounds }: HarvestLogRecords): ReviewShapes {
  const points = evenly(count).map((index): LonLat => [lon[index]!, lat[index]!]);
  return { are: 'points', points, found: null, of: count, bounds };
}

/** At most so many places of `count`, evenly over all of them. */
function evenly(count: number): number[] {
  const kept = Math.min(count, MOST_POINTS);
  return Array.from({ length: kept }, (_, n) => Math.floor((n * count) / kept));
}
