/** The next stops in words, and as marks on the map. */
import type { LookNext } from '../../../shared/analysis/look-next.ts';
import { settlesInWords, stopName, stopRows } from '../../../shared/hand-over/stop-files.ts';
import type { Display } from '../../../shared/units/format.ts';
import { counted } from '../../../shared/units/words.ts';
import type { Marker } from '../../state/stage.svelte.ts';

export function markersOf({ fields }: Pick<LookNext, 'fields'>): Marker[] {
  return stopRows(fields).map((row) => ({
    at: row.at,
    mark: String(row.order),
    words: stopName(row),
    group: row.fieldName,
  }));
}

/** The finding above the list. */
export function titleOf({ fields, minutes }: LookNext, field: string | null, weed: string, display: Display): string {
  const [first, ...more] = fields;
  if (!first) return `No further stop for ${weed} would change what to do`;
  const stops = fields.reduce((sum, one) => sum + one.stops.length, 0);
  if (field === null) {
    const names =
      more.length > 1
        ? `${first.name} and ${more.length} other fields`
        : [first, ...more].map((one) => one.name).join(' and ');
    return `Look next at ${names}: ${counted(stops, 'stop')} in about ${hoursInWords(minutes)}`;
  }
  const settlesM2 = first.stops.reduce((sum, one) => sum + one.settlesM2, 0);
  return `${counted(stops, 'more stop')} in ${first.name} ${settlesInWords({ settlesM2 }, display)}`;
}

function hoursInWords(minutes: number): string {
  const rounded = Math.round(minutes / 5) * 5;
  if (rounded < 60) return counted(rounded, 'minute');
  const [whole, rest] = [Math.floor(rounded / 60), rounded % 60];
  return rest === 0 ? counted(whole, 'hour') : `${counted(whole, 'hour')} ${rest} min`;
}
