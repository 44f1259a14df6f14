/** A field's ground: its boundary less what is excluded, with the buffers kept round each exclusion. */
import { buffer, intersect, subtract } from './clip.ts';
import type { FlatMultiPolygon } from './types.ts';

export interface Excluded {
  readonly area: FlatMultiPolygon;
  readonly bufferM: number;
}

export interface Ground {
  readonly ground: FlatMultiPolygon;
  /** What each exclusion took of the boundary that the ones before had left; disjoint. */
  readonly taken: readonly FlatMultiPolygon[];
}

/** @param boundary all areas in metres of one frame */
export function groundOf(boundary: FlatMultiPolygon, exclusions: readonly Excluded[]): Ground {
  let ground = boundary;
  const taken: FlatMultiPolygon[] = [];
  for (const { area, bufferM } of exclusions) {
    const wide = bufferM > 0 ? buffer(area, bufferM, { join: 'round', outside: true }) : area;
    const within = intersect(ground, wide);
    if (within.length > 0) taken.push(within);
    ground = subtract(ground, wide);
  }
  return { ground, taken };
}
