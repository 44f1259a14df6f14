/** How large the area above a threshold is, with a range: by measured error, and by counting quadrats. */
import type { Range } from '../model/range.ts';
import { wilsonInterval } from '../statistics/intervals.ts';
import { betaQuantile } from '../statistics/special.ts';
import type { ScoutingDensity } from './scouting-density.ts';
import { INTERVAL_LEVEL } from './scouting-density.ts';

/**
 * Root mean squared error of Σ probability of log1p kriging, as a share of the field, measured on simulated fields with
 * known truth at 1 plant/m².
 * @source methods-spatial §4, tests/reference/infested-area (results.json, k = 0.8; results-clumped.json, k = 0.2)
 */
const MEASURED_ERROR = {
  places: [20, 60, 200, 500],
  spread: [0.114, 0.102, 0.06, 0.049],
  clumped: [0.171, 0.171, 0.125, 0.125],
} as const;
const CLUMPED_BELOW_K = 0.4;
/** 90 % of a normal lies within this many standard deviations. */
const REACH = 1.64;
/** With fewer quadrats above 0 the counting bound joins the range. */
export const FEW_POSITIVES = 8;

/** The measured error of the infested share, interpolated in log n and held at its ends. @param k negative binomial k, null where none can be had */
export function measuredErrorFraction(places: number, k: number | null): number {
  const { places: at } = MEASURED_ERROR;
  const errors = k === null || k < CLUMPED_BELOW_K ? MEASURED_ERROR.clumped : MEASURED_ERROR.spread;
  let i = 0;
  while (i < at.length - 2 && places > at[i + 1]!) i++;
  const t = Math.min(1, Math.max(0, Math.log(places / at[i]!) / Math.log(at[i + 1]! / at[i]!)));
  return errors[i]! + t * (errors[i + 1]! - errors[i]!);
}

/** Infested ground is taken to hold this many times the threshold where a quadrat's chance of showing a plant is worked out. */
const DENSITY_OVER_THRESHOLD = 4;

/**
 * The counting bound: what the number of quadrats with plants alone says of the infested share. The upper end is
 * divided by the chance that a quadrat on infested ground shows a plant.
 * @param effortM2 of every quadrat @param k negative binomial k, null for random counts @param level 0–1, two-sided; 90 % where omitted
 * @source methods-spatial §8.3; tests/reference/infested-area (countingBound)
 */
export function countingBound(
  positives: number,
  effortM2: Float64Array,
  k: number | null,
  thresholdPerM2: number,
  level = INTERVAL_LEVEL,
): { low: number; high: number } {
  const tail = (1 - level) / 2;
  const places = effortM2.length;
  let shows = 0;
  for (const e of effortM2) {
    const expected = DENSITY_OVER_THRESHOLD * e * thresholdPerM2;
    shows += k === null ? -Math.expm1(-expected) : -Math.expm1(-k * Math.log1p(expected / k));
  }
  shows /= places;
  return {
    low: positives === 0 ? 0 : betaQuantile(tail, positives, places - positives + 1),
    high: positives === places ? 1 : Math.min(1, betaQuantile(1 - tail, positives + 1, places - positives) / shows),
  };
}

/**
 * The range of the infested share about a central one from a quick look: the error measured of kriging, not a model's; joined
 * with the counting bound where fewer than 8 quadrats had plants. Shares of the known area.
 * @source methods-spatial §4, "While the latent model is not built" (the rule is ours, not itself tested as a range)
 */
export function surfaceRange(centralFraction: number, density: ScoutingDensity, thresholdPerM2: number): Range {
  const reach = REACH * measuredErrorFraction(density.places, density.dispersion?.k ?? null);
  let low = Math.max(0, centralFraction - reach);
  let high = Math.min(1, centralFraction + reach);
  if (density.positives < FEW_POSITIVES) {
    const counted = countingBound(density.positives, density.effortM2, density.dispersion?.k ?? null, thresholdPerM2);
    low = Math.min(low, counted.low);
    high = Math.max(high, counted.high);
  }
  return { low, central: centralFraction, high };
}

/** The share of quadrats at or above the threshold with its Wilson interval, 90 %. */
export function quadratRange({ densityPerM2, places }: ScoutingDensity, thresholdPerM2: number): Range {
  const above = densityPerM2.reduce((sum, d) => sum + (d >= thresholdPerM2 ? 1 : 0), 0);
  return { central: above / places, ...wilsonInterval(above, places, INTERVAL_LEVEL) };
}

/** Shares of an area as m². */
export function scaleRange(range: Range, areaM2: number): Range {
  if (range.central === null) return range;
  return { low: range.low * areaM2, central: range.central * areaM2, high: range.high * areaM2 };
}
