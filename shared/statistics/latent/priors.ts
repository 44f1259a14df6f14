/**
 * What the latent count model assumes before it sees a count. Weak on purpose: with narrow priors clumped counts were
 * taken for narrow patches.
 * @source methods-spatial §7 step 1 (ours, chosen on simulated fields)
 */

/** Practical ranges that the sampler moves over, m: equal steps in log. */
export const RANGES_M: Float64Array = Float64Array.from({ length: 13 }, (_, i) => 30 * Math.pow(1200 / 30, i / 12));

/** log k of the counts. */
export const LOG_K = { mean: Math.log(0.5), sd: 1.2 } as const;
/** log s, the variance of log density. */
export const LOG_SILL = { mean: Math.log(4), sd: 1 } as const;
export const LOG_RANGE = { mean: Math.log(200), sd: 0.8 } as const;
/** μ has this standard deviation about `priorMu`. */
export const MU_SD = 3;
const LEAST_MEAN_PER_M2 = 0.01;

const square = (z: number): number => z * z;
export const logPriorK = (logK: number): number => -0.5 * square((logK - LOG_K.mean) / LOG_K.sd);
export const logPriorSill = (logSill: number): number => -0.5 * square((logSill - LOG_SILL.mean) / LOG_SILL.sd);
export const logPriorMu = (mu: number, center: number): number => -0.5 * square((mu - center) / MU_SD);

/** Log weight of each range of RANGES_M, up to a constant. */
export const LOG_PRIOR_RANGE: Float64Array = RANGES_M.map(
  (rangeM) => -0.5 * square((Math.log(rangeM) - LOG_RANGE.mean) / LOG_RANGE.sd),
);
/** The range with the largest weight: where a chain starts. */
export const START_RANGE = LOG_PRIOR_RANGE.indexOf(Math.max(...LOG_PRIOR_RANGE));

/**
 * How many times farther likeness reaches along the machine's path than across it, where a path is given: a strip that a
 * combine laid is long and narrow.
 */
export const RATIOS = [1, 2, 4, 8] as const;
/** Each ratio half as likely as the one before. */
export const LOG_PRIOR_RATIO: Float64Array = Float64Array.from(RATIOS, (ratio) => -Math.log(ratio));

/** A range and a ratio as one number: those of ratio 1 are places in RANGES_M. */
export const correlationIndex = (range: number, ratio: number): number => ratio * RANGES_M.length + range;
export const rangeOf = (index: number): number => index % RANGES_M.length;
export const ratioOf = (index: number): number => Math.floor(index / RANGES_M.length);

/** Log weight of a correlation, up to a constant. */
export const logPriorCorrelation = (index: number): number =>
  LOG_PRIOR_RANGE[rangeOf(index)]! + LOG_PRIOR_RATIO[ratioOf(index)]!;

/** Center of μ, log plants/m²: a little below the mean density, since most ground holds less than the mean. */
export function priorMu(count: Float64Array, effortM2: Float64Array): number {
  let [plants, area] = [0, 0];
  for (let i = 0; i < count.length; i++) {
    plants += count[i]!;
    area += effortM2[i]!;
  }
  return Math.log(Math.max(plants / area, LEAST_MEAN_PER_M2)) - 1;
}
