/** The fields as the map needs them: their shapes, where their labels stand, the box about them, and which one lies under a place. */
import { createFrame } from '../../shared/geometry/local-frame.ts';
import type { Bounds, LonLat, MultiPolygon } from '../../shared/geometry/types.ts';
import type { Farm } from '../../shared/model/farm.ts';
import { extent, isInside, labelPlace, type Point } from './label-place.ts';

export interface FieldShape {
  readonly id: string;
  readonly name: string;
  readonly boundary: MultiPolygon;
  readonly exclusions: readonly MultiPolygon[];
  /** West, south, east, north; degrees. */
  readonly bounds: Bounds;
  readonly label: LonLat;
  readonly roomM: readonly [widthM: number, heightM: number];
}

export function fieldShapes(fields: Farm['fields']): readonly FieldShape[] {
  return fields
    .filter((one) => one.boundary.length > 0)
    .map(({ id, name, boundary, exclusions }) => ({
      id,
      name,
      boundary: boundary as MultiPolygon,
      exclusions: exclusions.map((one) => one.area as MultiPolygon),
      bounds: boundsOf(boundary.flat(2)),
      ...placed(boundary as MultiPolygon),
    }));
}

/** A place well inside of an area, for its label. */
export function labelOf(area: MultiPolygon): LonLat {
  return placed(area).label;
}

function placed(area: MultiPolygon): Pick<FieldShape, 'label' | 'roomM'> {
  const frame = createFrame(area[0]![0]![0]!);
  const flat = area.map((rings) => rings.map((ring) => ring.map(([lon, lat]): Point => frame.toLocal(lon, lat))));
  const { label, room } = labelPlace(flat);
  return { label: frame.toLonLat(...label), roomM: room };
}

/** West, south, east, north of places that do not lie across the antimeridian. */
export function boundsOf(places: readonly LonLat[]): Bounds {
  const [west, east] = extent(places.map(([lon]) => lon));
  const [south, north] = extent(places.map(([, lat]) => lat));
  return [west, south, east, north];
}

/** The box about several; null without any. */
export function boundsOfAll(all: readonly Bounds[]): Bounds | null {
  if (all.length === 0) return null;
  return boundsOf(
    all.flatMap(([west, south, east, north]): LonLat[] => [
      [west, south],
      [east, north],
    ]),
  );
}

export function overlap(a: Bounds, b: Bounds): boolean {
  return a[0] <= b[2] && b[0] <= a[2] && a[1] <= b[3] && b[1] <= a[3];
}

/** The field under a place; null where there is none. Holes are not the field's. */
export function fieldAt(shapes: readonly FieldShape[], at: LonLat): FieldShape | null {
  const covers = ({ bounds, boundary }: FieldShape) =>
    overlap(bounds, [at[0], at[1], at[0], at[1]]) && boundary.some((rings) => isInside(rings, at));
  return shapes.find(covers) ?? null;
}
