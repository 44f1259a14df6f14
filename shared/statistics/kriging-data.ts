/** Places with values that are kriged, and what is refused of them. */

/** Values at places: metres of a local frame. No two places may be the same. */
export interface KrigingData {
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  readonly z: Float64Array;
}

export function distanceM(data: KrigingData, id: number, x: number, y: number): number {
  const dx = data.xM[id]! - x;
  const dy = data.yM[id]! - y;
  return Math.sqrt(dx * dx + dy * dy);
}

/** @throws where a datum has no place or value, or two lie at one place */
export function refuseUnsound(data: KrigingData): void {
  refuseNowhere(data);
  refuseDuplicates(data);
}

function refuseNowhere({ xM, yM, z }: KrigingData): void {
  for (let i = 0; i < z.length; i++) {
    if (!Number.isFinite(xM[i]! + yM[i]! + z[i]!))
      throw new RangeError(`ordinaryKriging: datum ${i} is no number at a place`);
  }
}

function refuseDuplicates({ xM, yM }: KrigingData): void {
  const order = Array.from(xM.keys()).sort((a, b) => xM[a]! - xM[b]! || yM[a]! - yM[b]!);
  for (let i = 1; i < order.length; i++) {
    const [a, b] = [order[i - 1]!, order[i]!];
    if (xM[a] === xM[b] && yM[a] === yM[b])
      throw new RangeError(`ordinaryKriging: data ${a} and ${b} lie at one place; merge them first`);
  }
}
