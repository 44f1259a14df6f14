/** Walks on the small farm, as a phone or a receiver writes them. */
import { type FieldName, placeIn } from './small-farm.ts';

export interface Step {
  readonly x: number;
  readonly y: number;
}

/** @param steps metres from the corner of a field, ten seconds apart from noon UTC @param inside further elements */
export function walk(
  field: FieldName,
  steps: readonly Step[],
  day: string | null,
  ...inside: readonly string[]
): string {
  const points = steps.map(({ x, y }, n) => {
    const [lon, lat] = placeIn(field, x, y);
    const time =
      day === null ? '' : `<time>${day}T12:${String(Math.floor(n / 6)).padStart(2, '0')}:${(n % 6) * 10}Z</time>`;
    return `<trkpt lat="${lat.toFixed(8)}" lon="${lon.toFixed(8)}">${time.replace(':0Z', ':00Z')}</trkpt>`;
  });
  return `<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1">\n${inside.join('\n')}\n<trk><trkseg>\n${points.join('\n')}\n</trkseg></trk></gpx>\n`;
}

export function waypoint(field: FieldName, x: number, y: number, name: string, says: string): string {
  const [lon, lat] = placeIn(field, x, y);
  return `<wpt lat="${lat}" lon="${lon}"><name>${name}</name><desc>${says}</desc></wpt>`;
}
