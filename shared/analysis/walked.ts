/** The tracks of a season: how far they go on each field, what they looked over, and the places that they bring. */
import { createFrame } from '../geometry/local-frame.ts';
import { simplifyLine } from '../geometry/polyline.ts';
import { indexPolygon } from '../geometry/polygon-index.ts';
import { geodesicDistanceM } from '../geometry/geodesic.ts';
import type { LonLat } from '../geometry/types.ts';
import type { ReadFile } from '../import/importer.ts';
import type { Farm } from '../model/farm.ts';
import { roundsOf } from '../model/lookups.ts';
import type { TrackLine, TrackRecords, Waypoint } from '../model/records.ts';
import { daysOfTrack, lengthWithinM, lineOf, trackLengthM } from '../scouting/walked.ts';
import { type Day, dayText } from '../units/calendar.ts';
import type { FieldGround } from './steps/field.ts';
import type { ResultOf } from './step.ts';

export interface WalkedField {
  readonly field: string;
  readonly lengthM: number;
  /** Length × the width that was said; null where none was. */
  readonly areaM2: number | null;
}

export interface WalkedTrack {
  readonly file: string;
  readonly name: string;
  readonly round: string;
  /** Local days; null where the file has no times. */
  readonly from: Day | null;
  readonly to: Day | null;
  /** In all, on fields and off. */
  readonly lengthM: number;
  readonly widthM: number | null;
  /** Fields on whose ground it goes. */
  readonly fields: readonly WalkedField[];
  /** For a map: thinned to a meter. */
  readonly lines: readonly (readonly LonLat[])[];
  readonly places: readonly WalkedPlace[];
}

export interface WalkedPlace extends Pick<Waypoint, 'at' | 'name' | 'note' | 'isStop'> {
  /** null: in no field. */
  readonly field: string | null;
  /** How near the track came, m; null without a track. */
  readonly passedM: number | null;
}

const THINNED_M = 1;
/** Shorter ways on a field are a corner cut, not a walk. */
const LEAST_M = 5;

/** @param result one result of the open farm; null where it is refused */
export function walkedTracks(farm: Farm, season: number, result: ResultOf): readonly WalkedTrack[] {
  const grounds = farm.fields.flatMap(({ id }) => {
    const ground = result<FieldGround>('field', { field: id });
    return ground ? [{ id, frame: createFrame(ground.origin), within: indexPolygon(ground.ground) }] : [];
  });
  const fieldAt = ([lon, lat]: LonLat) =>
    grounds.find(({ frame, within }) => within.contains(...frame.toLocal(lon, lat)))?.id ?? null;
  return roundsOf(farm, season).flatMap((round) =>
    round.files.flatMap((id): WalkedTrack[] => {
      const file = farm.files.find((one) => one.id === id);
      const records = file?.kind === 'track' ? result<ReadFile>('records', { file: id })?.records : null;
      if (!file || records?.kind !== 'track') return [];
      const { lines, widthM, waypoints } = records;
      const days = daysOfTrack(records, farm.utcOffsetMinutes);
      const fields = grounds.flatMap(({ id: field, frame, within }): WalkedField[] => {
        const lengthM = lengthWithinM(lines, frame, within);
        return lengthM < LEAST_M ? [] : [{ field, lengthM, areaM2: widthM === null ? null : lengthM * widthM }];
      });
      return [
        {
          file: id,
          name: file.name,
          round: round.id,
          from: days && dayText(days.first),
          to: days && dayText(days.last),
          lengthM: trackLengthM(records),
          widthM,
          fields,
          lines: lines.map(thinned),
          places: waypoints.map(({ at, name, note, isStop }) => ({
            at,
            name,
            note,
            isStop,
            field: fieldAt(at),
            passedM: passedM(records, at),
          })),
        },
      ];
    }),
  );
}

function thinned(line: TrackLine): LonLat[] {
  const way = lineOf(line);
  const frame = createFrame(way[0]!);
  const flat = simplifyLine(Float64Array.from(way.flatMap(([lon, lat]) => [...frame.toLocal(lon, lat)])), THINNED_M);
  return Array.from({ length: flat.length / 2 }, (_, at) => frame.toLonLat(flat[2 * at]!, flat[2 * at + 1]!));
}

/** To the nearest recorded point: a receiver writes one every few meters. */
function passedM({ lines }: TrackRecords, at: LonLat): number | null {
  let nearest = Infinity;
  for (const { lon, lat } of lines)
    for (let i = 0; i < lon.length; i++) nearest = Math.min(nearest, geodesicDistanceM([lon[i]!, lat[i]!], at));
  return nearest === Infinity ? null : nearest;
}
