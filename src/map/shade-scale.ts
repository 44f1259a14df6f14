/** From a value to its place on the ramp: by classes with printed edges, by rank, to both sides of zero, or by fifths of a whole. */
import { classAt, classEdges, rampPlace } from './classes.ts';
import type { MapShade } from './shades.ts';

export interface ShadeScale {
  /** Inner edges of the classes, rising, SI; none by rank. */
  readonly edges: readonly number[];
  /** 0–1 on the ramp. */
  place(value: number): number;
}

const CLASSES = 5;
/** To each side of zero, beside the class of about none. */
const SIGNED_CLASSES = 3;
/** Of a share: the same color is as sure in every field, and on every farm. */
const FIFTHS = [0.2, 0.4, 0.6, 0.8];

/** @param values all known values that one color must mean the same for, SI */
export function shadeScale(
  { scale, least }: Pick<MapShade, 'scale' | 'least'>,
  values: ArrayLike<number>,
  unitFactor: number,
): ShadeScale {
  if (scale === 'rank') {
    let last = 1;
    for (let i = 0; i < values.length; i++) last = Math.max(last, values[i]!);
    return { edges: [], place: (rank) => (last < 2 ? 1 : 1 - (rank - 1) / (last - 1)) };
  }
  if (scale === 'share') {
    return { edges: FIFTHS, place: (value) => rampPlace(classAt(FIFTHS, value), FIFTHS) };
  }
  if (scale === 'signed') {
    const sizes = Float64Array.from(values, Math.abs);
    const beyond = classEdges(sizes, { count: SIGNED_CLASSES, scale: 'linear', unitFactor, least });
    const edges = [...beyond.map((edge) => -edge).reverse(), ...beyond];
    return { edges, place: (value) => rampPlace(classAt(edges, value), edges) };
  }
  const edges = classEdges(values, { count: CLASSES, scale, unitFactor, least });
  return { edges, place: (value) => rampPlace(classAt(edges, value), edges) };
}
