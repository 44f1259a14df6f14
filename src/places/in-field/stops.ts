/** Where to go next, and what stands in the way of going there. */
import { entryState } from '../../../shared/analysis/field-closed.ts';
import type { LookNext } from '../../../shared/analysis/look-next.ts';
import { geodesicWay } from '../../../shared/geometry/geodesic.ts';
import type { LonLat } from '../../../shared/geometry/types.ts';
import { settlesInWords } from '../../../shared/hand-over/stop-files.ts';
import type { Farm, Field } from '../../../shared/model/farm.ts';
import { type Find, findsOf } from '../../../shared/model/field-notes.ts';
import { nearestField } from '../../../shared/model/nearest-field.ts';
import { type Day, dayNumber, dayText } from '../../../shared/units/calendar.ts';
import type { Display } from '../../../shared/units/format.ts';
import { labelPlace, type Point } from '../../map/label-place.ts';

/** A find so near to a stop is that stop's: a phone stands no nearer under a sky half hidden. */
const SAME_STOP_M = 20;

export interface Stop {
  readonly id: string;
  readonly name: string;
  readonly at: LonLat;
  /** Why one should look there: "nobody looked there". */
  readonly why: string;
  /** The day on which it opens again, where it lies in a field that was sprayed. */
  readonly closedUntil: Day | null;
}

export interface StopAhead extends Stop {
  readonly distanceM: number;
  readonly bearingDeg: number;
}

/** A place well inside each field that nobody looked at, as the study found them, and where nothing was marked since. */
export function unlookedStops(farm: Farm, unlooked: readonly string[], season: number, today: Day): Stop[] {
  const visited = new Set(findsOf(farm, season).flatMap((find) => fieldIdOf(farm, find) ?? []));
  return farm.fields
    .filter((one) => unlooked.includes(one.id) && !visited.has(one.id))
    .map((field) => ({
      id: field.id,
      name: field.name,
      at: labelPlace(field.boundary as unknown as Point[][][]).label,
      why: 'nobody looked there',
      closedUntil: closedUntil(farm, field.id, season, today),
    }));
}

/** The stops of a plan at which nothing was marked yet; closed fields have none in it. */
export function plannedStops({ fields }: LookNext, finds: readonly Find[], display: Display): Stop[] {
  return fields
    .flatMap(({ field, name, isLooked, stops }) =>
      stops.map(({ at, order, settlesM2 }) => ({
        id: `${field} ${order}`,
        name: `${name}, stop ${order}`,
        at,
        why: isLooked ? settlesInWords({ settlesM2 }, display) : 'nobody looked there',
        closedUntil: null,
      })),
    )
    .filter(({ at }) => finds.every((find) => geodesicWay(find.at, at).distanceM > SAME_STOP_M));
}

/** Open ones first, nearest first; without a position as they come. */
export function stopsAhead(stops: readonly Stop[], here: LonLat | null): StopAhead[] {
  const ahead = stops.map((stop) => {
    const way = here === null ? { distanceM: NaN, bearingDeg: NaN } : geodesicWay(here, stop.at);
    return { ...stop, ...way };
  });
  const closed = (stop: Stop) => Number(stop.closedUntil !== null);
  return ahead.sort((a, b) => closed(a) - closed(b) || (here === null ? 0 : a.distanceM - b.distanceM));
}

/** The day on which a sprayed field may be entered again; null where no re-entry interval on record, or typed from a label, closes it today. */
export function closedUntil(farm: Farm, field: Field['id'], season: number, today: Day): Day | null {
  const { closed } = entryState(farm, field, season, dayNumber(today)!);
  return closed ? dayText(closed.opensDay) : null;
}

function fieldIdOf(farm: Farm, { at }: Find): string | null {
  const nearest = nearestField(farm.fields, at);
  return nearest?.awayM === 0 ? nearest.field.id : null;
}
