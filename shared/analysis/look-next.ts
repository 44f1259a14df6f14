/** Where to look next, for one field or for the farm within the time that there is: from the steps' results, nothing of the document changes. */
import { createFrame } from '../geometry/local-frame.ts';
import type { LonLat } from '../geometry/types.ts';
import type { Farm } from '../model/farm.ts';
import type { CountSpread } from '../scouting/count-spread.ts';
import { planStops, type StopTimes, USUAL_STOP_TIMES } from '../scouting/stop-plan.ts';
import { walkingOrder, walkLengthM } from '../scouting/walk.ts';
import { type EntryState, entryState } from './field-closed.ts';
import type { FieldGround } from './steps/field.ts';
import type { FieldNextStops } from './steps/next-stops.ts';
import type { ResultOf } from './step.ts';

export interface LookNextAsk {
  readonly season: number;
  readonly species: string;
  /** The day of the walk, a day number. */
  readonly day: number;
  /** Stops of one field, or of the farm within a time. */
  readonly within: { readonly field: string; readonly stops: number } | StopTimes;
}

export interface PlannedStop {
  readonly at: LonLat;
  /** Place in the walk, from 1. */
  readonly order: number;
  /** What the stop is expected to settle, m². */
  readonly settlesM2: number;
}

export interface PlannedField {
  readonly field: string;
  readonly name: string;
  readonly isLooked: boolean;
  /** Counted before. */
  readonly places: number;
  readonly effortM2: number;
  /** In walking order. */
  readonly stops: readonly PlannedStop[];
  readonly walkM: number;
  /** Sprayings of the last days whose re-entry interval nobody typed, as day numbers. */
  readonly entryUnknown: readonly number[];
}

export interface CountedField {
  readonly field: string;
  readonly name: string;
  /** Counted so far; where none of them had the weed there is no `spread`. */
  readonly places: number;
  readonly spread: CountSpread | null;
}

export interface LookNext {
  readonly fields: readonly PlannedField[];
  /** What the walks take at the usual pace, or at the one given. */
  readonly minutes: number;
  /** Every field asked about, planned or not: what a wanted precision of its mean hangs on. */
  readonly counted: readonly CountedField[];
  readonly leftOut: readonly {
    readonly field: string;
    readonly name: string;
    readonly because: 'closed' | 'no time' | 'nothing to settle';
    /** Day number on which a closed field opens, and what says so. */
    readonly opensDay: number | null;
    readonly closedBy: string | null;
  }[];
}

/** What was looked at before, in words. */
export function lookedInWords({ isLooked, places }: Pick<PlannedField, 'isLooked' | 'places'>): string {
  if (places > 0) return `${places} place${places === 1 ? '' : 's'} counted so far`;
  return isLooked ? 'no counts yet' : 'nobody looked yet';
}

/** @param result one result of the open farm; null where it is refused */
export function lookNext(farm: Farm, ask: LookNextAsk, result: ResultOf): LookNext {
  const { season, species, day, within } = ask;
  const fields = farm.fields.filter((one) => one.ours && (!('field' in within) || one.id === within.field));
  const known = fields.flatMap(({ id, name }) => {
    const ground = result<FieldGround>('field', { field: id });
    const next = result<FieldNextStops>('next-stops', { field: id, season, species });
    return ground && next ? [{ id, name, ground, next, entry: entryState(farm, id, season, day) }] : [];
  });
  const most = 'field' in within ? within.stops : Infinity;
  const times = 'field' in within ? { budgetMin: Infinity, ...USUAL_STOP_TIMES } : within;
  const plan = planStops(
    known.map(({ id, next, entry }) => ({
      field: id,
      isLooked: next.isLooked,
      closed: entry.closed !== null,
      settlesM2: next.stops.slice(0, most).map((one) => one.settlesM2),
    })),
    times,
  );
  const of = (field: string) => known.find((one) => one.id === field)!;
  return {
    fields: plan.fields.map(({ field, stops }) => plannedField(of(field), stops, farm)),
    minutes: plan.minutes,
    counted: known.map(({ id, name, next }) => ({ field: id, name, places: next.places, spread: next.spread })),
    leftOut: plan.leftOut.map(({ field, because }) => {
      const { name, entry } = of(field);
      const closed = because === 'closed' ? entry.closed : null;
      return { field, name, because, opensDay: closed?.opensDay ?? null, closedBy: closed?.from ?? null };
    }),
  };
}

interface Known {
  readonly id: string;
  readonly name: string;
  readonly ground: FieldGround;
  readonly next: FieldNextStops;
  readonly entry: EntryState;
}

/** The walk begins at the stop nearest to the farm's yard; where no yard is known, at the one that settles most. */
function plannedField({ id, name, ground, next, entry }: Known, most: number, farm: Farm): PlannedField {
  const frame = createFrame(ground.origin);
  const stops = next.stops.slice(0, most);
  if (farm.yard) {
    const [x, y] = frame.toLocal(farm.yard[0], farm.yard[1]);
    const awayM = ({ xM, yM }: (typeof stops)[number]) => Math.hypot(xM - x, yM - y);
    const first = stops.reduce((nearest, one) => (awayM(one) < awayM(nearest) ? one : nearest), stops[0]!);
    stops.sort((a, b) => Number(b === first) - Number(a === first));
  }
  const [xM, yM] = [stops.map((one) => one.xM), stops.map((one) => one.yM)];
  const order = walkingOrder(xM, yM);
  return {
    field: id,
    name,
    isLooked: next.isLooked,
    places: next.places,
    effortM2: next.effortM2,
    stops: order.map((stop, index) => ({
      at: frame.toLonLat(xM[stop]!, yM[stop]!),
      order: index + 1,
      settlesM2: stops[stop]!.settlesM2,
    })),
    walkM: walkLengthM(order, xM, yM),
    entryUnknown: entry.unknown,
  };
}
