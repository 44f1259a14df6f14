/**
 * GPX 1.0 and 1.1: tracks are where somebody went, waypoints are places with a note, routes are plans and no record. Positions are
 * WGS 84, times UTC, by the format itself.
 * @source Topografix, GPX 1.1 schema (memory)
 */
import { geodesicDistanceM } from '../geometry/geodesic.ts';
import type { Bounds, LonLat } from '../geometry/types.ts';
import { FASTEST_MS } from '../model/field-notes.ts';
import { done, type Outcome, problem, ProblemList, refused } from '../model/problem.ts';
import type { TrackLine, TrackRecords, Waypoint } from '../model/records.ts';
import { instantSeconds } from '../units/calendar.ts';
import { counted } from '../units/words.ts';
import { readWhole } from './bundle-bytes.ts';
import type { Importer, ReadFile, ReadingWishes } from './importer.ts';
import { isStopText } from './own-stops.ts';
import { childrenOf, readXml, textOf, type XmlElement } from './xml.ts';

export const gpxImporter: Importer = {
  id: 'gpx',
  title: 'GPX',
  recognize: (bundle, head) =>
    /^[^]{0,1000}<(?:[\w-]+:)?gpx[\s>]/i.test(new TextDecoder('windows-1252').decode(head.subarray(0, 4000)))
      ? 1
      : /\.gpx$/i.test(bundle.name)
        ? 0.9
        : 0,
  *read(bundle, wishes) {
    const bytes = yield* readWhole(bundle.parts.find((part) => part.name === bundle.name) ?? bundle.parts[0]!);
    const root = readXml(bytes, bundle.name);
    return root.ok ? readGpx(root.value, bundle.name, wishes) : root;
  },
};

function readGpx(root: XmlElement, file: string, wishes: ReadingWishes): Outcome<ReadFile> {
  const where = { where: { file } };
  if (root.localName !== 'gpx') {
    const text = `${file} is XML, but no GPX: it begins with <${root.localName ?? '?'}>.`;
    return refused(problem('error', 'gpx-other', text, { ...where, hint: 'Export tracks and waypoints as GPX.' }));
  }
  const points = new PointReader(file);
  const waypoints = [...childrenOf(root, 'wpt')].flatMap((one) => waypointOf(one, points));
  const lines = [...childrenOf(root, 'trk')].flatMap((track) =>
    [...childrenOf(track, 'trkseg')].flatMap((segment) => linesOf(textOf(track, 'name'), segment, points)),
  );
  const { problems } = points;
  if ([...childrenOf(root, 'rte')].some(isOfOthers))
    problems.add(problem('note', 'route-left-out', `${file} holds a route: a plan, not a way that was walked.`, where));
  const places = [...lines.flatMap(pointsOf), ...waypoints.map((one) => one.at)];
  if (places.length === 0) {
    const text = `${file} holds no track and no waypoint that can be used.`;
    return refused(...problems.list(), problem('error', 'gpx-empty', text, where));
  }
  const records: TrackRecords = {
    kind: 'track',
    lines,
    waypoints,
    widthM: wishes.walkedWidthM ?? null,
    bounds: boundsOf(places),
  };
  const why = `GPX with ${counted(lines.length, 'stretch', 'stretches')} of track and ${counted(waypoints.length, 'waypoint')}.`;
  const reading = {
    importer: 'gpx',
    takenFor: 'track',
    why,
    columns: {},
    rows: points.read,
    unusedRows: points.unused,
  } as const;
  return done({ reading, records }, problems.list());
}

/** A route that is no walk of stops that went out from here. */
function isOfOthers(route: XmlElement): boolean {
  return [...childrenOf(route, 'rtept')].some(
    (one) => !isStopText(textOf(one, 'desc')) && !isStopText(textOf(one, 'cmt')),
  );
}

interface Point {
  readonly at: LonLat;
  /** Unix seconds; NaN where it is not told. */
  readonly timeS: number;
  readonly row: number;
}

class PointReader {
  readonly problems = new ProblemList();
  read = 0;
  unused = 0;
  constructor(private readonly file: string) {}

  /** null where it cannot be used, told. */
  point(element: XmlElement): Point | null {
    this.read++;
    const row = element.lineNumber ?? 0;
    const [lat, lon] = [numberOf(element.getAttribute('lat')), numberOf(element.getAttribute('lon'))];
    if (!(Math.abs(lon) <= 180 && Math.abs(lat) <= 90) || (lon === 0 && lat === 0)) {
      this.unused++;
      const seen = `${element.getAttribute('lat') ?? 'nothing'}, ${element.getAttribute('lon') ?? 'nothing'}`;
      this.tell('position-missing', row, `${seen} is no latitude and longitude; the point is not used`);
      return null;
    }
    const written = textOf(element, 'time');
    const timeS = written === '' ? NaN : secondsOf(written);
    if (written !== '' && Number.isNaN(timeS))
      this.tell('time-unreadable', row, `the time "${written.slice(0, 40)}" cannot be read`);
    return { at: [lon, lat], timeS, row };
  }

  tell(code: string, row: number, text: string): void {
    this.problems.add(problem('warning', code, `Line ${row}: ${text}.`, { where: { file: this.file, row } }));
  }
}

/** A segment, cut where its position leaps: nobody goes that fast, and the leap is no way that was walked. */
function linesOf(name: string, segment: XmlElement, points: PointReader): TrackLine[] {
  const pieces: Point[][] = [[]];
  for (const element of childrenOf(segment, 'trkpt')) {
    const point = points.point(element);
    if (!point) continue;
    const before = pieces.at(-1)!.at(-1);
    const apartM = before ? geodesicDistanceM(before.at, point.at) : 0;
    const leaps = before !== undefined && apartM > FASTEST_MS * Math.max(1, point.timeS - before.timeS);
    if (leaps) {
      points.tell(
        'position-jump',
        point.row,
        `the position leaps ${apartM.toFixed(0)} m in ${(point.timeS - before.timeS).toFixed(0)} s; the track is cut there`,
      );
      pieces.push([]);
    }
    pieces.at(-1)!.push(point);
  }
  return pieces
    .filter((one) => one.length > 1)
    .map((one) => ({
      name,
      lon: Float64Array.from(one, ({ at }) => at[0]),
      lat: Float64Array.from(one, ({ at }) => at[1]),
      timeS: Float64Array.from(one, ({ timeS }) => timeS),
    }));
}

function waypointOf(element: XmlElement, points: PointReader): Waypoint[] {
  const point = points.point(element);
  if (!point) return [];
  const [says, comment] = [textOf(element, 'desc'), textOf(element, 'cmt')];
  const note = [...new Set([says, comment])].filter((one) => one !== '').join(' · ');
  return [
    {
      at: point.at,
      name: textOf(element, 'name').slice(0, 100),
      note: note.slice(0, 500),
      timeS: Number.isNaN(point.timeS) ? null : point.timeS,
      isStop: isStopText(says) || isStopText(comment),
      row: point.row,
    },
  ];
}

/** "2026-06-10T14:03:22Z", with parts of a second or an offset too. */
function secondsOf(text: string): number {
  const match = /^(\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2})(\.\d+)?(Z|[+-]\d{2}:\d{2})?$/.exec(text);
  const whole = match ? instantSeconds(`${match[1]}Z`) : null;
  if (!match || whole === null) return NaN;
  const [, , part, zone] = match;
  const offset = zone === undefined || zone === 'Z' ? 0 : Number(zone.slice(1, 3)) * 3600 + Number(zone.slice(4)) * 60;
  return whole + Number(part ?? 0) - (zone?.startsWith('-') ? -offset : offset);
}

function numberOf(text: string | null): number {
  return text !== null && /^\s*[+-]?\d+(\.\d*)?([eE][+-]?\d+)?\s*$/.test(text) ? Number(text) : NaN;
}

function pointsOf({ lon, lat }: TrackLine): LonLat[] {
  return Array.from(lon, (x, index) => [x, lat[index]!]);
}

function boundsOf(places: readonly LonLat[]): Bounds {
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [lon, lat] of places) {
    [west, east] = [Math.min(west, lon), Math.max(east, lon)];
    [south, north] = [Math.min(south, lat), Math.max(north, lat)];
  }
  return [west, south, east, north];
}
