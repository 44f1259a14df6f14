/** Stops on several fields within the time that there is. */

export interface FieldStops {
  readonly field: string;
  /** Somebody looked this season, for this weed. */
  readonly isLooked: boolean;
  /** Nobody may enter. */
  readonly closed: boolean;
  /** In falling worth: what each is expected to settle, m². */
  readonly settlesM2: readonly number[];
}

export interface StopTimes {
  /** In all, minutes. */
  readonly budgetMin: number;
  /** To reach a field and to come into it. */
  readonly arriveMin: number;
  /** To walk to a stop and count there. */
  readonly stopMin: number;
}

/** Common practice, no source: a drive of a few miles, and a count every few minutes on foot. */
export const USUAL_STOP_TIMES = { arriveMin: 12, stopMin: 6 } as const;

/** A morning, where nobody says how long. */
export const USUAL_HOURS = 4;

/**
 * Stops that a field nobody looked at gets before any other is looked at more closely.
 * @source manitoba-scout (at least 5 stops far apart, in management.md)
 */
export const FIRST_LOOK_STOPS = 5;

export interface StopPlan {
  /** In the order in which the fields were taken; how many of each field's stops, from its first. */
  readonly fields: readonly { readonly field: string; readonly stops: number }[];
  readonly minutes: number;
  /** Fields that stay out, and why. */
  readonly leftOut: readonly { readonly field: string; readonly because: 'closed' | 'no time' | 'nothing to settle' }[];
}

/** Fields nobody looked at first, each with a first look; then stop by stop what settles most a minute. */
export function planStops(fields: readonly FieldStops[], times: StopTimes): StopPlan {
  const taken = new Map<string, number>();
  let minutes = 0;
  const worth = (one: FieldStops) => one.settlesM2.reduce((sum, settles) => sum + settles, 0);
  const open = fields.filter((one) => !one.closed && one.settlesM2.length > 0);
  for (const one of open.filter((it) => !it.isLooked).sort((a, b) => worth(b) - worth(a))) {
    const room = Math.floor((times.budgetMin - minutes - times.arriveMin) / times.stopMin);
    const stops = Math.min(FIRST_LOOK_STOPS, one.settlesM2.length, room);
    if (stops < 1) continue;
    taken.set(one.field, stops);
    minutes += times.arriveMin + stops * times.stopMin;
  }
  for (;;) {
    const next = bestStop(open, taken, times, times.budgetMin - minutes);
    if (!next) break;
    minutes += costMin(next, taken, times);
    taken.set(next.field, (taken.get(next.field) ?? 0) + 1);
  }
  return {
    fields: [...taken].map(([field, stops]) => ({ field, stops })),
    minutes,
    leftOut: fields
      .filter((one) => !taken.has(one.field))
      .map((one) => ({
        field: one.field,
        because: one.closed ? 'closed' : one.settlesM2.length === 0 ? 'nothing to settle' : 'no time',
      })),
  };
}

function bestStop(
  open: readonly FieldStops[],
  taken: ReadonlyMap<string, number>,
  times: StopTimes,
  leftMin: number,
): FieldStops | null {
  let best: { one: FieldStops; perMin: number } | null = null;
  for (const one of open) {
    const settles = one.settlesM2[taken.get(one.field) ?? 0];
    const cost = costMin(one, taken, times);
    if (settles === undefined || cost > leftMin) continue;
    if (!best || settles / cost > best.perMin) best = { one, perMin: settles / cost };
  }
  return best?.one ?? null;
}

function costMin({ field }: FieldStops, taken: ReadonlyMap<string, number>, times: StopTimes): number {
  return times.stopMin + (taken.has(field) ? 0 : times.arriveMin);
}
