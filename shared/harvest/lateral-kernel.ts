import type { LateralKernel } from './machine-streams.ts';

/** Where the seed of one exit lands across the drive: points to the right of the exit, and weights that add up to 1. */
export interface KernelPoints {
  readonly offsetsM: Float64Array;
  readonly weights: Float64Array;
}

/**
 * Points and weights of a lateral kernel cut into equal slices.
 * `uniform`: even over the width. `triangular`: densest in the middle, 0 at the ends; each slice has its exact
 * integral. `line`: one narrow even band around each offset (chaff lines), each cut into `slices`.
 * @source methods-season §4.2; held by the reference cases chaff-line-…, spreader-…
 */
export function kernelPoints(kernel: LateralKernel, slices: number): KernelPoints {
  const { shape, widthM } = kernel;
  const centresM = shape === 'line' ? (kernel.offsetsM ?? [0]) : [0];
  const offsetsM = new Float64Array(slices * centresM.length);
  const weights = new Float64Array(offsetsM.length);
  for (let band = 0; band < centresM.length; band++) {
    for (let slice = 0; slice < slices; slice++) {
      const point = band * slices + slice;
      offsetsM[point] = centresM[band]! + ((slice + 0.5) / slices - 0.5) * widthM;
      weights[point] =
        shape === 'triangular'
          ? triangleBelowFraction((slice + 1) / slices - 0.5) - triangleBelowFraction(slice / slices - 0.5)
          : 1;
    }
  }
  let total = 0;
  for (const weight of weights) total += weight;
  for (let point = 0; point < weights.length; point++) weights[point]! /= total;
  return { offsetsM, weights };
}

/** Share of a triangle on [−½, ½] that lies below z. */
function triangleBelowFraction(z: number): number {
  return z < 0 ? 0.5 * (1 + 2 * z) ** 2 : 1 - 0.5 * (1 - 2 * z) ** 2;
}
