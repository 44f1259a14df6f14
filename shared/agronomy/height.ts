/**
 * Height of the tallest weeds: while they are small it grows in a straight line of degree days; a logistic where its
 * parameters are known. The limit up to which a product may be used is typed from the label.
 * @source horak2000 (height; abstract), reference cases emergence-cover/height
 */

/** Height after `gdd` degree days of logistic growth from `startHeight` to `finalHeight`; any one unit of length. */
export function logisticHeight(gdd: number, startHeight: number, finalHeight: number, rate: number): number {
  return finalHeight / (1 + (finalHeight / startHeight - 1) * Math.exp(-rate * gdd));
}

/** Degree days from one height to another under logistic growth: ln(h₂(K−h₁)/(h₁(K−h₂)))/r. */
export function logisticDegreeDaysBetween(from: number, to: number, finalHeight: number, rate: number): number {
  return Math.log((to * (finalHeight - from)) / (from * (finalHeight - to))) / rate;
}

/** Degree days from one height to another under exponential growth. */
export function exponentialDegreeDaysBetween(from: number, to: number, rate: number): number {
  return Math.log(to / from) / rate;
}

/** Degree days from one height to another in a straight line. @param mmPerGdd e.g. waterhemp.height.mmPerGDD */
export function linearDegreeDaysBetween(fromMm: number, toMm: number, mmPerGdd: number): number {
  return (toMm - fromMm) / mmPerGdd;
}

/**
 * First day whose start finds the weeds at or above a height.
 * @param heightAtStart height at the start of each day
 * @returns index, or null where they stay below it
 */
export function firstDayAtHeight(heightAtStart: ArrayLike<number>, limit: number): number | null {
  for (let day = 0; day < heightAtStart.length; day++) if (heightAtStart[day]! >= limit) return day;
  return null;
}

/**
 * Height at the start of each day from a measured one, growing with air degree days.
 * @param gddByDay degree days of each day (base 10 °C for the published rates)
 * @param fromIndex day of the measurement, height as at its start
 * @param out one element a day, written; NaN before the measurement
 */
export function heightByDayMm(
  gddByDay: Float64Array,
  fromIndex: number,
  startHeightMm: number,
  mmPerGdd: number,
  out: Float64Array,
): Float64Array {
  let height = startHeightMm;
  for (let day = 0; day < out.length; day++) {
    if (day < fromIndex) out[day] = NaN;
    else {
      out[day] = height;
      height += mmPerGdd * gddByDay[day]!;
    }
  }
  return out;
}
