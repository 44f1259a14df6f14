/**
 * A log that lies on several fields, taken apart by where its records are: each goes to the field that it is in; turns and strips
 * just outside go with the field that they belong to; what is left lies outside every field, in no part, and is counted.
 */
import { createFrame, frameOriginOf } from '../geometry/local-frame.ts';
import { polygonBounds, toLocalPolygon } from '../geometry/polygon.ts';
import { distanceToPolygonM } from '../geometry/polygon-distance.ts';
import { indexPolygon } from '../geometry/polygon-index.ts';
import type { Bounds, MultiPolygon } from '../geometry/types.ts';
import type { HarvestLogRecords } from '../model/records.ts';

/** In no field. */
export const NO_FIELD = 0xffff;
/** A record this near to a field's edge belongs to it: two headers, or a turn on the road. *Assumed*. */
export const NEAR_M = 30;
/** A way outside, out of a field and back into it, is a turn up to this. *Assumed*. */
export const TURN_S = 120;
const M_PER_DEGREE = 111_195;

type Place = Pick<HarvestLogRecords, 'count' | 'lon' | 'lat'>;

/** Field (place in `boundaries`) that each record lies in, or NO_FIELD. @cost O(records × fields whose box holds them) */
export function fieldsOfRecords({ count, lon, lat }: Place, boundaries: readonly MultiPolygon[]): Uint16Array {
  const fields = boundaries.map(groundOf);
  const of = new Uint16Array(count).fill(NO_FIELD);
  for (let i = 0; i < count; i++) {
    for (const [n, field] of fields.entries()) {
      if (!isWithin(field.box, lon[i]!, lat[i]!, 0)) continue;
      const [x, y] = field.frame.toLocal(lon[i]!, lat[i]!);
      if (!field.within.contains(x, y)) continue;
      of[i] = n;
      break;
    }
  }
  return of;
}

/** The same, with turns and strips just outside given to their fields. @param boundaries of the fields that the log is of */
export function partsOfLog(log: HarvestLogRecords, boundaries: readonly MultiPolygon[]): Uint16Array {
  const of = fieldsOfRecords(log, boundaries);
  const fields = boundaries.map(groundOf);
  const { count, lon, lat, timeS, machine } = log;
  for (let i = 0; i < count; i++) {
    if (of[i] !== NO_FIELD) continue;
    let nearest = NEAR_M;
    for (const [n, field] of fields.entries()) {
      if (!isWithin(field.box, lon[i]!, lat[i]!, NEAR_M)) continue;
      const awayM = distanceToPolygonM(field.ground, ...field.frame.toLocal(lon[i]!, lat[i]!));
      if (awayM > nearest) continue;
      nearest = awayM;
      of[i] = n;
    }
  }
  for (let from = 0; from < count;) {
    if (of[from] !== NO_FIELD) {
      from++;
      continue;
    }
    let to = from;
    while (to < count && of[to] === NO_FIELD && machine?.[to] === machine?.[from]) to++;
    const [before, after] = [from - 1, to];
    const isTurn =
      before >= 0 && after < count && of[before] === of[after] && Math.abs(timeS[after]! - timeS[before]!) <= TURN_S;
    if (isTurn) of.fill(of[before]!, from, to);
    from = to;
  }
  return of;
}

/** The records of one part, in file order, with their rows. */
export function partOfLog(log: HarvestLogRecords, of: Uint16Array, part: number): HarvestLogRecords {
  let count = 0;
  for (const one of of) if (one === part) count++;
  const pick = new Uint32Array(count);
  for (let i = 0, n = 0; i < of.length; i++) if (of[i] === part) pick[n++] = i;
  const f64 = (values: Float64Array) => Float64Array.from(pick, (i) => values[i]!);
  const f32 = (values: Float32Array) => Float32Array.from(pick, (i) => values[i]!);
  const u8 = (values: Uint8Array) => Uint8Array.from(pick, (i) => values[i]!);
  const [lon, lat] = [f64(log.lon), f64(log.lat)];
  return {
    ...log,
    count,
    timeS: f64(log.timeS),
    lon,
    lat,
    flowKgS: f32(log.flowKgS),
    moistureFraction: f32(log.moistureFraction),
    swathM: f32(log.swathM),
    headerDown: u8(log.headerDown),
    headingDeg: f32(log.headingDeg),
    speedMS: f32(log.speedMS),
    durationS: f32(log.durationS),
    row: Uint32Array.from(pick, (i) => log.row[i]!),
    ...(log.machine ? { machine: u8(log.machine) } : {}),
    bounds: boxOf(lon, lat),
  };
}

function groundOf(boundary: MultiPolygon) {
  const corners = boundary.flat(2).flat();
  const box = polygonBounds([[Float64Array.from(corners)]]);
  const frame = createFrame(frameOriginOf(box));
  const ground = toLocalPolygon(frame, boundary);
  return { box, frame, ground, within: indexPolygon(ground) };
}

function isWithin([west, south, east, north]: Bounds, lon: number, lat: number, marginM: number): boolean {
  const north_ = marginM / M_PER_DEGREE;
  if (!(lat >= south - north_ && lat <= north + north_)) return false;
  const east_ = marginM === 0 ? 0 : north_ / Math.cos((lat * Math.PI) / 180);
  return lon >= west - east_ && lon <= east + east_;
}

function boxOf(lon: Float64Array, lat: Float64Array): Bounds {
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < lon.length; i++) {
    west = Math.min(west, lon[i]!);
    east = Math.max(east, lon[i]!);
    south = Math.min(south, lat[i]!);
    north = Math.max(north, lat[i]!);
  }
  return lon.length === 0 ? [0, 0, 0, 0] : [west, south, east, north];
}
