/** A field's ground outside its zones, for what the machine applies there. */
import { dropSlivers, subtract, union } from '../geometry/clip.ts';
import { geodesicAreaM2 } from '../geometry/geodesic.ts';
import { groundOf } from '../geometry/ground.ts';
import { createFrame } from '../geometry/local-frame.ts';
import { toLocalPolygon, toLonLatPolygon } from '../geometry/polygon.ts';
import type { MultiPolygon } from '../geometry/types.ts';
import type { Field } from '../model/farm.ts';

/** @returns 9 decimals of a degree; geodesic area; empty where the zones fill the field */
export function groundOutside(
  field: Pick<Field, 'frameOrigin' | 'boundary' | 'exclusions'>,
  zones: readonly MultiPolygon[],
): { readonly area: MultiPolygon; readonly areaM2: number } {
  const frame = createFrame(field.frameOrigin);
  const local = (area: MultiPolygon) => toLocalPolygon(frame, area);
  const { ground } = groundOf(
    local(field.boundary as MultiPolygon),
    field.exclusions.map(({ area, bufferM }) => ({ area: local(area as MultiPolygon), bufferM })),
  );
  const left = zones.length === 0 ? ground : subtract(ground, union(zones.map(local)));
  const area = toLonLatPolygon(frame, dropSlivers(left).polygon);
  return { area, areaM2: geodesicAreaM2(area) };
}
