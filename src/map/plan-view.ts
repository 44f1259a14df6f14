/** Fields as shapes on a sheet of the screen: local equirectangular about the farm's middle, north up, one scale both ways. */
import type { LonLat, MultiPolygon } from '../../shared/geometry/types.ts';

export interface PlannedField {
  readonly id: string;
  readonly boundary: MultiPolygon;
  readonly exclusions: readonly MultiPolygon[];
}

export interface FieldShape {
  readonly id: string;
  /** SVG path of the outline with its holes (even-odd). */
  readonly path: string;
  /** SVG path of what is excluded; '' where nothing is. */
  readonly excluded: string;
  /** A point well inside, for the label. */
  readonly label: readonly [x: number, y: number];
  /** Width and height of the shape at the label. */
  readonly room: readonly [widthPx: number, heightPx: number];
}

export interface Plan {
  readonly shapes: readonly FieldShape[];
  readonly pxPerM: number;
}

export interface Sheet {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly paddingPx: number;
}

type Point = readonly [number, number];
const EARTH_RADIUS_M = 6371008.8;

export function planOf(fields: readonly PlannedField[], sheet: Sheet): Plan {
  const corners = fields.flatMap((field) => field.boundary.flat(2));
  if (corners.length === 0) return { shapes: [], pxPerM: 1 };
  const [lonMin, lonMax] = extent(corners.map(([lon]) => lon));
  const [latMin, latMax] = extent(corners.map(([, lat]) => lat));
  const middleLat = (latMin + latMax) / 2;
  const perLat = (Math.PI / 180) * EARTH_RADIUS_M;
  const perLon = perLat * Math.cos((middleLat * Math.PI) / 180);
  const pxPerM = Math.min(
    (sheet.widthPx - 2 * sheet.paddingPx) / Math.max(1, (lonMax - lonMin) * perLon),
    (sheet.heightPx - 2 * sheet.paddingPx) / Math.max(1, (latMax - latMin) * perLat),
  );
  const place = ([lon, lat]: LonLat): Point => [
    sheet.widthPx / 2 + (lon - (lonMin + lonMax) / 2) * perLon * pxPerM,
    sheet.heightPx / 2 - (lat - middleLat) * perLat * pxPerM,
  ];
  const shapes = fields.map((field): FieldShape => {
    const polygons = field.boundary.map((polygon) => polygon.map((ring) => ring.map(place)));
    const largest = polygons.reduce((a, b) => (spread(b) > spread(a) ? b : a));
    const label = insidePoint(largest);
    return {
      id: field.id,
      path: pathOf(polygons),
      excluded: pathOf(
        field.exclusions.flatMap((area) => area.map((polygon) => polygon.map((ring) => ring.map(place)))),
      ),
      label,
      room: [
        roomAt(largest, label),
        roomAt(
          largest.map((ring) => ring.map(([x, y]): Point => [y, x])),
          [label[1], label[0]],
        ),
      ],
    };
  });
  return { shapes, pxPerM };
}

/** The shape that comes next from one in a direction of an arrow key; null where there is none. */
export function neighborShape(shapes: readonly FieldShape[], from: string, towards: Point): FieldShape | null {
  const start = shapes.find((one) => one.id === from);
  if (!start) return shapes[0] ?? null;
  let best: FieldShape | null = null;
  let least = Infinity;
  for (const one of shapes) {
    const [dx, dy] = [one.label[0] - start.label[0], one.label[1] - start.label[1]];
    const along = dx * towards[0] + dy * towards[1];
    const across = Math.abs(dx * towards[1] - dy * towards[0]);
    if (along <= 1) continue;
    const cost = along + 2 * across;
    if (cost < least) [best, least] = [one, cost];
  }
  return best;
}

function pathOf(polygons: readonly (readonly (readonly Point[])[])[]): string {
  return polygons
    .flat()
    .map((ring) => `M${ring.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join('L')}Z`)
    .join('');
}

function extent(values: readonly number[]): [number, number] {
  return values.reduce(([low, high], value) => [Math.min(low, value), Math.max(high, value)], [Infinity, -Infinity]);
}

function spread(polygon: readonly (readonly Point[])[]): number {
  const [x0, x1] = extent(polygon[0]!.map(([x]) => x));
  const [y0, y1] = extent(polygon[0]!.map(([, y]) => y));
  return (x1 - x0) * (y1 - y0);
}

const TRIES = 21;
/** A label is wide: ground to the left and right counts, the upper and lower border less. */
const FLATTEN = 2.2;

/** The point of a lattice with the most room round it. */
function insidePoint(rings: readonly (readonly Point[])[]): Point {
  const [x0, x1] = extent(rings[0]!.map(([x]) => x));
  const [y0, y1] = extent(rings[0]!.map(([, y]) => y));
  let best: Point = [(x0 + x1) / 2, (y0 + y1) / 2];
  let most = -Infinity;
  for (let i = 0; i < TRIES; i++) {
    for (let j = 0; j < TRIES; j++) {
      const point: Point = [x0 + ((i + 0.5) / TRIES) * (x1 - x0), y0 + ((j + 0.5) / TRIES) * (y1 - y0)];
      if (!isInside(rings, point)) continue;
      // The border's distance, and a little of the middle's pull, so that a rectangle is labelled in its middle.
      const pull = 0.02 * Math.hypot(point[0] - (x0 + x1) / 2, point[1] - (y0 + y1) / 2);
      const room = borderDistance(rings, point) - pull;
      if (room > most) [best, most] = [point, room];
    }
  }
  return best;
}

function borderDistance(rings: readonly (readonly Point[])[], [x, y]: Point): number {
  let least = Infinity;
  for (const ring of rings) {
    for (let i = 1; i < ring.length; i++) {
      const [ax, ay] = [ring[i - 1]![0], ring[i - 1]![1] * FLATTEN];
      const [bx, by] = [ring[i]![0], ring[i]![1] * FLATTEN];
      const length = (bx - ax) ** 2 + (by - ay) ** 2;
      const t =
        length === 0 ? 0 : Math.min(1, Math.max(0, ((x - ax) * (bx - ax) + (y * FLATTEN - ay) * (by - ay)) / length));
      least = Math.min(least, Math.hypot(x - ax - t * (bx - ax), y * FLATTEN - ay - t * (by - ay)));
    }
  }
  return least;
}

function isInside(rings: readonly (readonly Point[])[], [x, y]: Point): boolean {
  return crossings(rings, y).filter((at) => at > x).length % 2 === 1;
}

function roomAt(rings: readonly (readonly Point[])[], [x, y]: Point): number {
  const at = crossings(rings, y);
  const right = Math.min(...at.filter((one) => one > x));
  const left = Math.max(...at.filter((one) => one <= x));
  return Number.isFinite(right - left) ? right - left : 0;
}

function crossings(rings: readonly (readonly Point[])[], y: number): number[] {
  const at: number[] = [];
  for (const ring of rings) {
    for (let i = 1; i < ring.length; i++) {
      const [[ax, ay], [bx, by]] = [ring[i - 1]!, ring[i]!];
      if (ay > y !== by > y) at.push(ax + ((y - ay) / (by - ay)) * (bx - ax));
    }
  }
  return at;
}
