/** How long a field is closed to people after what was sprayed there. */
import { type ClosedDays, closedDays, isClosed } from '../agronomy/re-entry.ts';
import type { Farm } from '../model/farm.ts';
import { seasonOf } from '../model/lookups.ts';
import { dayNumber } from '../units/calendar.ts';

export interface ReEntry {
  readonly hours: number;
  /** Where the interval is from, in words. */
  readonly from: string;
}

/** As recorded with the spraying; else the longest that the typed labels of its ingredients say; null where nothing says it. */
export function reEntryOf(
  farm: Farm,
  parts: readonly { readonly ingredient: string }[],
  recorded: number | undefined,
): ReEntry | null {
  if (recorded !== undefined) return { hours: recorded, from: 'typed with the spraying' };
  const labels = farm.products.filter(
    (one) =>
      one.label.reentryHours !== undefined &&
      one.parts.some((part) => parts.some(({ ingredient }) => ingredient === part.ingredient)),
  );
  if (labels.length === 0) return null;
  const longest = labels.reduce((a, b) => (b.label.reentryHours! > a.label.reentryHours! ? b : a));
  return { hours: longest.label.reentryHours!, from: `the label of ${longest.name} as typed` };
}

export interface FieldClosed {
  /** First day on which the field is open again, as a day number. */
  readonly opensDay: number;
  readonly from: string;
}

export interface EntryState {
  /** null: open, as far as is known. */
  readonly closed: FieldClosed | null;
  /** Days of sprayings in the last two weeks of which neither the record nor a label says how long the field stays closed. */
  readonly unknown: readonly number[];
}

/** A spraying longer ago than this closes no field; of one nearer, an interval that is not known is told. */
const ASK_FOR_DAYS = 14;

/** @param day the day on which somebody would enter, a day number */
export function entryState(farm: Farm, field: string, season: number, day: number): EntryState {
  const sprayed = (seasonOf(farm, season)?.sprayed ?? []).filter((one) => one.where.field === field);
  const known: (ClosedDays & ReEntry)[] = [];
  const unknown: number[] = [];
  for (const { on, parts, reentryHours } of sprayed) {
    const reEntry = reEntryOf(farm, parts, reentryHours);
    const sprayedDay = dayNumber(on)!;
    if (reEntry) known.push({ ...closedDays(on, reEntry.hours), ...reEntry });
    else if (day >= sprayedDay && day - sprayedDay <= ASK_FOR_DAYS) unknown.push(sprayedDay);
  }
  const closing = known.filter((one) => isClosed(one, day));
  if (closing.length === 0) return { closed: null, unknown };
  const last = closing.reduce((a, b) => (b.toDay > a.toDay ? b : a));
  return { closed: { opensDay: last.toDay + 1, from: last.from }, unknown };
}
