/** A count as it is typed: how many, on how much ground, where and when. */
import type { TypedCount } from '../../../../shared/model/edits/counts.ts';
import { createFrame } from '../../../../shared/geometry/local-frame.ts';
import { polygonBounds, toLocalPolygon } from '../../../../shared/geometry/polygon.ts';
import { distanceToPolygonM } from '../../../../shared/geometry/polygon-distance.ts';
import type { LonLat, MultiPolygon } from '../../../../shared/geometry/types.ts';
import type { Field } from '../../../../shared/model/farm.ts';
import { dayNumber } from '../../../../shared/units/calendar.ts';
import { type Display, formatQuantity } from '../../../../shared/units/format.ts';
import { neededNumber, type NumberRule } from '../../../../shared/units/typed-number.ts';
import { type Read, Reading } from '../../../ui/draft.ts';
import { type GroundDraft, readGround } from '../../typing/ground-draft.ts';

export interface CountDraft extends GroundDraft {
  count: string;
  where: 'map' | 'degrees' | 'field';
  picked: LonLat | null;
  lat: string;
  lon: string;
  east: string;
  north: string;
  species: string;
  on: string;
}

export function pacedRules(display: Display): Record<'east' | 'north', NumberRule> {
  const unit = display === 'us' ? 'ft' : 'm';
  return { east: { what: 'Distance to the east', unit }, north: { what: 'Distance to the north', unit } };
}

/** The south-west corner of the field's box: from there a place is paced off. */
export function cornerOf(field: Field): { toLonLat(eastM: number, northM: number): LonLat } {
  const frame = createFrame(field.frameOrigin as LonLat);
  const [west, south] = polygonBounds(toLocalPolygon(frame, field.boundary as MultiPolygon));
  return { toLonLat: (eastM, northM) => frame.toLonLat(west + eastM, south + northM) };
}

export function readCount(draft: CountDraft, field: Field, display: Display): Read<TypedCount, CountDraft> {
  const reading = new Reading<CountDraft>();
  const count = countOfText(draft.count, reading);
  const ground = readGround(draft, display, reading);
  const at = placeOf(draft, field, display, reading);
  if (dayNumber(draft.on) === null) reading.note('on', 'Say the day on which it was counted.');
  if (at) checkInside(at, draft.where, field, display, reading);
  return reading.isRight
    ? {
        value: {
          at: [...at!] as [number, number],
          on: draft.on,
          species: draft.species,
          effortM2: ground!.effortM2,
          count: count!,
        },
      }
    : { wrong: reading.wrong };
}

/** "12", "0", "50+" (at least 50). */
function countOfText(text: string, reading: Reading<CountDraft>): TypedCount['count'] | undefined {
  const match = /^(?:(>=|≥|at least)\s*)?(\d+)\s*(\+)?$/i.exec(text.trim());
  if (!match) {
    reading.note('count', 'Plants counted is a whole number: 12, 0 for none, 50+ for at least 50.');
    return undefined;
  }
  const count = Number(match[2]);
  return match[1] || match[3] ? { atLeast: count } : count;
}

function placeOf(draft: CountDraft, field: Field, display: Display, reading: Reading<CountDraft>): LonLat | null {
  switch (draft.where) {
    case 'map':
      if (!draft.picked) reading.note('picked', 'Pick the place on the map first.');
      return draft.picked;
    case 'degrees': {
      const lat = reading.take('lat', neededNumber(draft.lat, { what: 'Latitude', unit: 'deg', least: -90, most: 90 }));
      const lon = reading.take(
        'lon',
        neededNumber(draft.lon, { what: 'Longitude', unit: 'deg', least: -180, most: 180 }),
      );
      return lat === undefined || lon === undefined ? null : [lon, lat];
    }
    case 'field': {
      const rules = pacedRules(display);
      const east = reading.take('east', neededNumber(draft.east, rules.east));
      const north = reading.take('north', neededNumber(draft.north, rules.north));
      return east === undefined || north === undefined ? null : cornerOf(field).toLonLat(east, north);
    }
  }
}

function checkInside(
  at: LonLat,
  where: CountDraft['where'],
  field: Field,
  display: Display,
  reading: Reading<CountDraft>,
): void {
  const entry = where === 'map' ? 'picked' : where === 'degrees' ? 'lat' : 'east';
  const far = Math.abs(at[0] - field.frameOrigin[0]) > 1 || Math.abs(at[1] - field.frameOrigin[1]) > 1;
  const frame = createFrame(field.frameOrigin as LonLat);
  const boundary = toLocalPolygon(frame, field.boundary as MultiPolygon);
  const awayM = far ? Infinity : distanceToPolygonM(boundary, ...frame.toLocal(at[0], at[1]));
  if (awayM === 0) return;
  const how = far ? 'far' : formatQuantity(awayM, 'length', display);
  reading.note(entry, `This place is not in ${field.name}: it lies ${how} outside.`);
}
