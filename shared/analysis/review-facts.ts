/** What a file holds, in a few numbers a kind: shown before it is taken in. SI; the page says them in its units. */
import type { Rating, Records } from '../model/records.ts';
import { daysOfTrack, trackLengthM } from '../scouting/walked.ts';
import { dayText } from '../units/calendar.ts';

export interface SpeciesSeen {
  readonly species: string;
  readonly observations: number;
  readonly withWeed: number;
  readonly effortM2: number;
}

export type ReviewFacts =
  | {
      readonly kind: 'boundaries' | 'drawn patches';
      readonly features: number;
      readonly areaM2: number;
    }
  | {
      readonly kind: 'scouting';
      readonly observations: number;
      readonly firstDay: string | null;
      readonly lastDay: string | null;
      readonly species: readonly SpeciesSeen[];
    }
  | {
      readonly kind: 'harvest log';
      readonly records: number;
      /** Unix seconds. */
      readonly firstS: number;
      readonly lastS: number;
      /** False where the times are made: the days may be true, the hours are not. */
      readonly hasClock: boolean;
      readonly crop: string | null;
    }
  | { readonly kind: 'ratings'; readonly ratings: Readonly<Partial<Record<Rating, number>>> }
  | {
      readonly kind: 'weather';
      readonly days: number;
      readonly firstDay: string | null;
      readonly lastDay: string | null;
      readonly station: string | null;
    }
  | {
      readonly kind: 'crops';
      readonly rows: number;
      readonly crops: readonly string[];
      readonly years: readonly number[];
    }
  | {
      readonly kind: 'track';
      readonly lengthM: number;
      readonly firstDay: string | null;
      readonly lastDay: string | null;
      readonly waypoints: number;
      /** Of the waypoints, those that went out as stops. */
      readonly stops: number;
      readonly widthM: number | null;
    }
  | { readonly kind: 'sprayings'; readonly rows: number; readonly ingredients: readonly string[] };

export function reviewFacts(records: Records): ReviewFacts {
  switch (records.kind) {
    case 'boundaries':
    case 'drawn patches': {
      const areaM2 = records.features.reduce((sum, one) => sum + one.areaM2, 0);
      return { kind: records.kind, features: records.features.length, areaM2 };
    }
    case 'scouting': {
      const days = records.observations.map((one) => one.on).sort();
      return {
        kind: 'scouting',
        observations: records.observations.length,
        firstDay: days[0] ?? null,
        lastDay: days.at(-1) ?? null,
        species: speciesSeen(records.observations),
      };
    }
    case 'harvest log': {
      let [firstS, lastS] = [Infinity, -Infinity];
      for (const time of records.timeS) {
        if (time < firstS) firstS = time;
        if (time > lastS) lastS = time;
      }
      const hasClock = records.timesMade === undefined;
      return { kind: 'harvest log', records: records.count, firstS, lastS, hasClock, crop: records.crop };
    }
    case 'ratings': {
      const ratings: Partial<Record<Rating, number>> = {};
      for (const { rating } of records.ratings) ratings[rating] = (ratings[rating] ?? 0) + 1;
      return { kind: 'ratings', ratings };
    }
    case 'weather':
      return {
        kind: 'weather',
        days: records.day.length,
        firstDay: records.day.length > 0 ? dayText(records.day[0]!) : null,
        lastDay: records.day.length > 0 ? dayText(records.day.at(-1)!) : null,
        station: records.station,
      };
    case 'crops':
      return {
        kind: 'crops',
        rows: records.crops.length,
        crops: [...new Set(records.crops.map((one) => one.crop))].sort(),
        years: [...new Set(records.crops.map((one) => one.year))].sort(),
      };
    case 'track': {
      const days = daysOfTrack(records, 0);
      return {
        kind: 'track',
        lengthM: trackLengthM(records),
        firstDay: days === null ? null : dayText(days.first),
        lastDay: days === null ? null : dayText(days.last),
        waypoints: records.waypoints.length,
        stops: records.waypoints.filter((one) => one.isStop).length,
        widthM: records.widthM,
      };
    }
    case 'sprayings':
      return {
        kind: 'sprayings',
        rows: records.sprayings.length,
        ingredients: [...new Set(records.sprayings.map((one) => one.ingredient))].sort(),
      };
  }
}

/** Most observed first. */
export function speciesSeen(observations: Extract<Records, { kind: 'scouting' }>['observations']): SpeciesSeen[] {
  const seen = new Map<string, { species: string; observations: number; withWeed: number; effortM2: number }>();
  for (const { species, effortM2, count } of observations) {
    const one = seen.get(species) ?? { species, observations: 0, withWeed: 0, effortM2: 0 };
    one.observations++;
    one.effortM2 += effortM2;
    if (isFind(count)) one.withWeed++;
    seen.set(species, one);
  }
  return [...seen.values()].sort((a, b) => b.observations - a.observations || (a.species < b.species ? -1 : 1));
}

export function isFind(count: number | { readonly present: boolean } | { readonly atLeast: number }): boolean {
  return typeof count === 'number' ? count > 0 : 'present' in count ? count.present : true;
}
