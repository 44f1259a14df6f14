/** Fields as shapes on a sheet of the screen: local equirectangular about the farm's middle, north up, one scale both ways. */
import type { LonLat, MultiPolygon } from '../../shared/geometry/types.ts';
import { extent, labelPlace, type Point } from './label-place.ts';

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
    return {
      id: field.id,
      path: pathOf(polygons),
      excluded: pathOf(
        field.exclusions.flatMap((area) => area.map((polygon) => polygon.map((ring) => ring.map(place)))),
      ),
      ...labelPlace(polygons),
    };
  });
  return { shapes, pxPerM };
}

/** Where arrow keys go; y grows downward. */
export const ARROWS: Readonly<Record<string, Point>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

type Labelled = Pick<FieldShape, 'id' | 'label'>;

/** The shape that comes next from one in a direction of an arrow key; null where there is none. */
export function neighborShape<T extends Labelled>(shapes: readonly T[], from: string, towards: Point): T | null {
  const start = shapes.find((one) => one.id === from);
  if (!start) return shapes[0] ?? null;
  let best: T | null = null;
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

/** A square of about a meter, so that a single place has a place on such a map. */
export function dotAt([lon, lat]: LonLat): MultiPolygon {
  const d = 5e-6;
  const corner = (x: number, y: number): LonLat => [lon + x * d, lat + y * d];
  return [[[corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1), corner(-1, -1)]]];
}
