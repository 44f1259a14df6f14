/**
 * Warmth of a day above a base temperature, °C d. Three readings of the same idea that differ by up to 83 % (McMaster and
 * Wilhelm 1997, abstract): always name the method with the number. °F d = 1.8 × °C d.
 */

export type DegreeDayMethod = 'average' | 'modified average' | 'single sine';

/** max(0, min(mean, upper) − base). */
export function degreeDaysAverage(minC: number, maxC: number, baseC: number, upperC = Infinity): number {
  return Math.max(0, Math.min((minC + maxC) / 2, upperC) - baseC);
}

/** Mean of both temperatures after each was held between base and upper limit, less the base. */
export function degreeDaysModifiedAverage(minC: number, maxC: number, baseC: number, upperC: number): number {
  const hold = (t: number) => Math.min(Math.max(t, baseC), upperC);
  return (hold(minC) + hold(maxC)) / 2 - baseC;
}

/** Area between a sine through both temperatures and a base, over one day. */
function sineAbove(minC: number, maxC: number, baseC: number): number {
  if (minC >= baseC) return (minC + maxC) / 2 - baseC;
  if (maxC <= baseC) return 0;
  const mean = (minC + maxC) / 2;
  const halfRange = (maxC - minC) / 2;
  const angle = Math.asin((baseC - mean) / halfRange);
  return ((mean - baseC) * (Math.PI / 2 - angle) + halfRange * Math.cos(angle)) / Math.PI;
}

/**
 * Single sine with horizontal cut-off: the part above the upper limit is taken off.
 * @source Baskerville and Emin 1969 (memory); reference case emergence-cover/one-day, checked there by quadrature to 1e-9
 */
export function degreeDaysSine(minC: number, maxC: number, baseC: number, upperC = Infinity): number {
  const above = sineAbove(minC, maxC, baseC);
  return upperC === Infinity ? above : above - sineAbove(minC, maxC, upperC);
}

/** Degree days of one day by the named method. @throws where the modified average has no upper limit */
export function degreeDays(
  method: DegreeDayMethod,
  minC: number,
  maxC: number,
  baseC: number,
  upperC = Infinity,
): number {
  if (method === 'average') return degreeDaysAverage(minC, maxC, baseC, upperC);
  if (method === 'single sine') return degreeDaysSine(minC, maxC, baseC, upperC);
  if (upperC === Infinity) throw new Error('degreeDays: the modified average needs an upper limit');
  return degreeDaysModifiedAverage(minC, maxC, baseC, upperC);
}

/** °C d as °F d. */
export function fahrenheitDegreeDays(celsiusDegreeDays: number): number {
  return 1.8 * celsiusDegreeDays;
}

/** °F d as °C d. */
export function celsiusDegreeDays(fahrenheitDays: number): number {
  return fahrenheitDays / 1.8;
}

/**
 * Hydrothermal time of one day. 'switch': degree days count on days wetter than the base; 'product': each counts by how
 * much wetter, °C d MPa. Not interchangeable.
 * @param potentialMPa soil water potential; negative
 */
export function hydrothermalTime(
  form: 'switch' | 'product',
  meanC: number,
  potentialMPa: number,
  baseC: number,
  baseMPa: number,
): number {
  if (!(potentialMPa > baseMPa && meanC > baseC)) return 0;
  const warm = meanC - baseC;
  return form === 'switch' ? warm : warm * (potentialMPa - baseMPa);
}
