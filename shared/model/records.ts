/**
 * What the importers give: a person's file as typed columns, one element a record, in file order, none dropped.
 * A value that is missing or unreadable in the file is NaN here and told as a problem.
 */
import type { Day } from '../units/calendar.ts';
import type { Bounds, LonLat, MultiPolygon } from '../geometry/types.ts';
import type { FieldNotes, NotedFind } from './field-notes.ts';

/** Bytes as the host gives them. `chunks` may be called again and then starts anew. */
export interface ByteSource {
  readonly name: string;
  readonly size: number;
  chunks(): Iterable<Uint8Array>;
}

/** How one column of a table was taken, and why. `unit` is an id of units/units.ts. */
export interface ColumnReading {
  readonly column: string;
  readonly unit?: string;
  readonly because: string;
  readonly by: 'guess' | 'person';
}

export const FILE_KINDS = [
  'boundaries',
  'drawn patches',
  'scouting',
  'ratings',
  'harvest log',
  'weather',
  'crops',
  'sprayings',
  'track',
] as const;
export type FileKind = (typeof FILE_KINDS)[number];

export interface BoundaryFeature {
  /** Counts from 1 in the file. */
  readonly feature: number;
  readonly name: string;
  readonly polygon: MultiPolygon;
  readonly properties: Readonly<Record<string, string | number | boolean | null>>;
  /** Geodesic area on WGS 84. */
  readonly areaM2: number;
}

export interface BoundaryRecords {
  readonly kind: 'boundaries' | 'drawn patches';
  readonly features: readonly BoundaryFeature[];
  readonly bounds: Bounds;
  /** The coordinate system as found, in words: "EPSG:32616 (from the .prj)". */
  readonly crs: string;
}

/**
 * What the times of a log without a clock were made from: the seconds that each record covers, the distance over the speed logged,
 * one second a record, or the distance at an assumed speed. They keep order and distance; hours in them mean nothing.
 */
export type TimesMade = 'duration' | 'speed' | 'a second a record' | 'distance';

/** A log by distance is taken to have been driven at this speed, m/s. *Assumed*: 4.5 mph. */
export const ASSUMED_SPEED_MS = 2;

/** A 1 Hz (or slower) log. All arrays have `count` elements, in file order. */
export interface HarvestLogRecords {
  readonly kind: 'harvest log';
  readonly count: number;
  /** Unix seconds, UTC. */
  readonly timeS: Float64Array;
  readonly lon: Float64Array;
  readonly lat: Float64Array;
  /** Wet grain mass flow, kg/s. */
  readonly flowKgS: Float32Array;
  /** Wet basis, share 0–1. NaN where missing. */
  readonly moistureFraction: Float32Array;
  /** Cut width, m. NaN where the file has no width (the machine's header width is used). */
  readonly swathM: Float32Array;
  /** 1 header down, 0 up. */
  readonly headerDown: Uint8Array;
  /** Degrees clockwise from north, as logged; NaN where missing. */
  readonly headingDeg: Float32Array;
  /** m/s as logged; NaN where missing. */
  readonly speedMS: Float32Array;
  /** Seconds that the record covers, as logged; NaN where missing. */
  readonly durationS: Float32Array;
  /** Line of the file, from 1, header included; of task data the record, counted over all its logs. */
  readonly row: Uint32Array;
  /** Machine of each record, from 0, where the file tells several apart; absent where it is of one, or does not say. */
  readonly machine?: Uint8Array;
  /** Present where the log has no clock. */
  readonly timesMade?: TimesMade;
  readonly bounds: Bounds;
  readonly crop: string | null;
}

/** One observation of one species. Exactly what was counted, with its effort. */
export interface Observation {
  readonly at: LonLat;
  readonly on: Day;
  /** Species id (agronomy/species), `pigweed` for "pigweed, not told apart". */
  readonly species: string;
  /** m² looked at. */
  readonly effortM2: number;
  readonly count: number | { readonly present: boolean } | { readonly atLeast: number };
  readonly heightMm?: number;
  readonly accuracyM?: number;
  /** Row of the file it came from. */
  readonly row?: number;
}

export interface ScoutingRecords {
  readonly kind: 'scouting';
  readonly observations: readonly Observation[];
  readonly bounds: Bounds;
  /** Of field notes: the finds behind the observations, one for one. Each is known by its id, and merged by it. */
  readonly notes?: { readonly farm: FieldNotes['farm']; readonly finds: readonly NotedFind[] };
}

export type Rating = 'not looked' | 'none seen' | 'few' | 'patches' | 'throughout';
export interface RatingRecords {
  readonly kind: 'ratings';
  readonly ratings: readonly { fieldName: string; species: string; rating: Rating; on: Day | null; row: number }[];
}

/** Daily weather, one element a day, in date order; NaN is missing. */
export interface WeatherRecords {
  readonly kind: 'weather';
  /** Days since 1970-01-01. */
  readonly day: Int32Array;
  readonly maxC: Float64Array;
  readonly minC: Float64Array;
  readonly rainMm: Float64Array;
  readonly station: string | null;
}

/** Rows of a crop plan: what was planted, and what it tolerates. */
export interface CropRecords {
  readonly kind: 'crops';
  readonly crops: readonly {
    fieldName: string;
    year: number;
    crop: string;
    plantedOn: Day | null;
    emergedOn: Day | null;
    matureOn: Day | null;
    harvestedOn: Day | null;
    rowSpacingM: number | null;
    expectedYieldKgHa: number | null;
    /** Ingredient or group names; null where the column is empty: not stated. */
    tolerates: readonly string[] | null;
    row: number;
  }[];
}

/** Rows of a spray record: active ingredient and the share of the full label rate. */
export interface SprayingRecords {
  readonly kind: 'sprayings';
  readonly sprayings: readonly {
    fieldName: string;
    on: Day;
    ingredient: string;
    rateFraction: number;
    row: number;
  }[];
}

/** A stretch that somebody went without a break; at least two points. */
export interface TrackLine {
  readonly name: string;
  readonly lon: Float64Array;
  readonly lat: Float64Array;
  /** Unix seconds, UTC; NaN where it is not told. */
  readonly timeS: Float64Array;
}

export interface Waypoint {
  readonly at: LonLat;
  readonly name: string;
  readonly note: string;
  /** Unix seconds, UTC. */
  readonly timeS: number | null;
  /** A stop that this tool sent out: where to look, not what was found. */
  readonly isStop: boolean;
  readonly row: number;
}

/** Where somebody went, and the places that they marked. */
export interface TrackRecords {
  readonly kind: 'track';
  readonly lines: readonly TrackLine[];
  readonly waypoints: readonly Waypoint[];
  /** Strip that was looked over while walking, as a person said; never guessed. */
  readonly widthM: number | null;
  readonly bounds: Bounds;
}

export type Records =
  | BoundaryRecords
  | HarvestLogRecords
  | ScoutingRecords
  | RatingRecords
  | WeatherRecords
  | CropRecords
  | SprayingRecords
  | TrackRecords;
