/** Numbers that are known to two figures at best. */

export function twoFigures(value: number): number {
  return Number(value.toPrecision(2));
}

/** A count: whole below ten. */
export function roughly(value: number): number {
  return value < 10 ? Math.round(value) : twoFigures(value);
}

/** "0.12%", "4.5%", "87%". */
export function roughPercent(share: number): string {
  return `${twoFigures(100 * share)}%`;
}

/** Each end to two figures, none below one; all three null stay so. */
export function roughRange<
  R extends { readonly low: number | null; readonly central: number | null; readonly high: number | null },
>(range: R): R {
  const { low, central, high } = range;
  if (low === null || central === null || high === null) return range;
  return { ...range, low: roughly(low), central: roughly(central), high: roughly(high) };
}
