/** In which field a place lies, or how far from the nearest. */
import { createFrame } from '../geometry/local-frame.ts';
import { toLocalPolygon } from '../geometry/polygon.ts';
import { distanceToPolygonM } from '../geometry/polygon-distance.ts';
import type { LonLat, MultiPolygon } from '../geometry/types.ts';
import type { Field } from './farm.ts';

export interface NearestField {
  readonly field: Field;
  /** 0 inside. */
  readonly awayM: number;
}

/** A local frame serves some tens of kilometers: beyond a degree no field is near. */
const FAR_DEG = 1;

/** null where every field is far away. @cost O(corners) */
export function nearestField(fields: readonly Field[], at: readonly [number, number]): NearestField | null {
  let nearest: NearestField | null = null;
  for (const field of fields) {
    const [lon, lat] = field.frameOrigin;
    if (Math.abs(at[0] - lon) > FAR_DEG || Math.abs(at[1] - lat) > FAR_DEG) continue;
    const frame = createFrame(field.frameOrigin as LonLat);
    const boundary = toLocalPolygon(frame, field.boundary as MultiPolygon);
    const awayM = distanceToPolygonM(boundary, ...frame.toLocal(at[0], at[1]));
    if (nearest === null || awayM < nearest.awayM) nearest = { field, awayM };
    if (awayM === 0) break;
  }
  return nearest;
}
