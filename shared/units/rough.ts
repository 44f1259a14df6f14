/** Numbers that are known to two figures at best. */

export function roughly(value: number): number {
  return value < 10 ? Math.round(value) : Number(value.toPrecision(2));
}

/** Each end to two figures, none below one; all three null stay so. */
export function roughRange<
  R extends { readonly low: number | null; readonly central: number | null; readonly high: number | null },
>(range: R): R {
  const { low, central, high } = range;
  if (low === null || central === null || high === null) return range;
  return { ...range, low: roughly(low), central: roughly(central), high: roughly(high) };
}
