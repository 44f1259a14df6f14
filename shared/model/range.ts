/** Low, central, high of one quantity. A range that cannot be told has all three null, never one of them. */
export type Range =
  | { readonly low: number; readonly central: number; readonly high: number }
  | { readonly low: null; readonly central: null; readonly high: null };

export const UNKNOWN_RANGE: Range = { low: null, central: null, high: null };

/** One value that is known exactly as far as this tool can tell. */
export function exactly(value: number): Range {
  return { low: value, central: value, high: value };
}

export type Case = 'mild' | 'central' | 'harsh';
export const CASES: readonly Case[] = ['mild', 'central', 'harsh'];

export function eachCase<T>(of: (which: Case) => T): Record<Case, T> {
  return { mild: of('mild'), central: of('central'), harsh: of('harsh') };
}

/**
 * Folds the three cases into a range by minimum and maximum, so that a quantity that falls with harsher biology
 * (yield, gain) still has low ≤ central ≤ high. Unknown as soon as one case is unknown.
 */
export function foldCases(byCase: Readonly<Record<Case, number | null>>): Range {
  const { mild, central, harsh } = byCase;
  if (mild === null || central === null || harsh === null) return UNKNOWN_RANGE;
  return { low: Math.min(mild, central, harsh), central, high: Math.max(mild, central, harsh) };
}
