/** Values of the records that make up a path, in its order; NaN stays NaN. @cost O(n) */
export function gather(values: ArrayLike<number>, record: Uint32Array): Float64Array<ArrayBuffer> {
  const out = new Float64Array(record.length);
  for (let k = 0; k < record.length; k++) out[k] = values[record[k]!]!;
  return out;
}
