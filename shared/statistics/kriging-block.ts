/** Blocks over which a mean is kriged. */
import { correlation, type VariogramModel } from './variogram-model.ts';

/** Points that stand for a block: metres from the target, weights that sum to 1. */
export interface Block {
  readonly dxM: Float64Array;
  readonly dyM: Float64Array;
  readonly weight: Float64Array;
}

/** Mean covariance of two points of a block. */
export function withinBlock({ dxM, dyM, weight }: Block, { kind, partialSill, rangeM }: VariogramModel): number {
  let sum = 0;
  for (let i = 0; i < weight.length; i++) {
    for (let j = 0; j < weight.length; j++) {
      const h = Math.hypot(dxM[i]! - dxM[j]!, dyM[i]! - dyM[j]!);
      sum += weight[i]! * weight[j]! * correlation(kind, h, rangeM);
    }
  }
  return partialSill * sum;
}
