/** Empirical variograms: half the mean squared difference of pairs, by their distance. */

/** One element a lag that holds pairs, nearest first. */
export interface EmpiricalVariogram {
  readonly pairs: Float64Array;
  /** Mean distance of the lag's pairs, m. */
  readonly distanceM: Float64Array;
  /** Semivariance γ, squared units of the values. */
  readonly gamma: Float64Array;
  readonly cutoffM: number;
  readonly widthM: number;
}

export interface VariogramOptions {
  /** Longest distance used, m. A third of the bounding box's diagonal where omitted. */
  readonly cutoffM?: number;
  /** Lag k holds (k−1)·width < h ≤ k·width, m. A fifteenth of the cutoff where omitted. */
  readonly widthM?: number;
  /** `cressie-hawkins` resists outliers but falls towards 0 where more than half of the values are equal (counts of 0). */
  readonly estimator?: 'matheron' | 'cressie-hawkins';
  /** Lags with fewer pairs are joined with the next. 1 where omitted. */
  readonly minPairs?: number;
}

/**
 * Empirical variogram of values at places. Pairs at distance 0 are left out.
 * @param xM east of each place, m @param yM north, m @param z the values
 * @source Matheron; Cressie & Hawkins 1980, Math. Geology 12:115–125; tests/reference/variogram-kriging
 * @cost O(n²)
 */
export function empiricalVariogram(
  xM: Float64Array,
  yM: Float64Array,
  z: Float64Array,
  options: VariogramOptions = {},
): EmpiricalVariogram {
  const n = z.length;
  if (xM.length !== n || yM.length !== n)
    throw new RangeError(`empiricalVariogram: ${xM.length}, ${yM.length} places for ${n} values`);
  const cutoffM = options.cutoffM ?? boxDiagonalM(xM, yM) / 3;
  const widthM = options.widthM ?? cutoffM / 15;
  if (!(cutoffM > 0 && widthM > 0))
    throw new RangeError(`empiricalVariogram: cutoff ${cutoffM} m and width ${widthM} m must be above 0`);
  const robust = options.estimator === 'cressie-hawkins';
  const lags = Math.ceil(cutoffM / widthM);
  const pairs = new Float64Array(lags);
  const distanceSum = new Float64Array(lags);
  const sum = new Float64Array(lags);
  const longest = cutoffM * cutoffM;

  for (let i = 1; i < n; i++) {
    const x = xM[i]!;
    const y = yM[i]!;
    for (let j = 0; j < i; j++) {
      const dx = x - xM[j]!;
      const dy = y - yM[j]!;
      const squared = dx * dx + dy * dy;
      if (squared === 0 || squared > longest) continue;
      const h = Math.sqrt(squared);
      const lag = Math.min(lags - 1, Math.max(0, Math.ceil(h / widthM) - 1));
      const difference = Math.abs(z[i]! - z[j]!);
      pairs[lag]! += 1;
      distanceSum[lag]! += h;
      sum[lag]! += robust ? Math.sqrt(difference) : difference * difference;
    }
  }

  const joined = joinThinLags(pairs, distanceSum, sum, options.minPairs ?? 1);
  const gamma = joined.sum.map((total, lag) => {
    const count = joined.pairs[lag]!;
    return robust ? (total / count) ** 4 / (2 * (0.457 + 0.494 / count)) : total / (2 * count);
  });
  return {
    pairs: Float64Array.from(joined.pairs),
    distanceM: Float64Array.from(joined.distanceSum, (total, lag) => total / joined.pairs[lag]!),
    gamma: Float64Array.from(gamma),
    cutoffM,
    widthM,
  };
}

/** Joins each lag with the next ones until it has enough pairs; a thin rest joins the lag before it. Empty lags vanish. */
function joinThinLags(pairs: Float64Array, distanceSum: Float64Array, sum: Float64Array, minPairs: number) {
  const out = { pairs: [] as number[], distanceSum: [] as number[], sum: [] as number[] };
  let open = false;
  for (let lag = 0; lag < pairs.length; lag++) {
    if (pairs[lag] === 0) continue;
    const last = out.pairs.length - 1;
    if (open) {
      out.pairs[last]! += pairs[lag]!;
      out.distanceSum[last]! += distanceSum[lag]!;
      out.sum[last]! += sum[lag]!;
    } else {
      out.pairs.push(pairs[lag]!);
      out.distanceSum.push(distanceSum[lag]!);
      out.sum.push(sum[lag]!);
    }
    open = out.pairs[out.pairs.length - 1]! < minPairs;
  }
  if (open && out.pairs.length > 1) {
    for (const column of [out.pairs, out.distanceSum, out.sum]) {
      const rest = column.pop()!;
      column[column.length - 1]! += rest;
    }
  }
  return out;
}

/** Diagonal of the bounding box of places, m. */
export function boxDiagonalM(xM: Float64Array, yM: Float64Array): number {
  let [west, east, south, north] = [Infinity, -Infinity, Infinity, -Infinity];
  for (let i = 0; i < xM.length; i++) {
    west = Math.min(west, xM[i]!);
    east = Math.max(east, xM[i]!);
    south = Math.min(south, yM[i]!);
    north = Math.max(north, yM[i]!);
  }
  return Math.hypot(east - west, north - south);
}
