/**
 * Yield against weed density by the hyperbola of yield-loss.ts, fitted to a field's own pairs:
 * yield = Y₀·(1 − I·D/(1 + I·D/A)), I and A in per cent. No weed takes more than the whole yield: A ≤ 100.
 * @source cousens1985; methods-spatial §14; tests/reference/curve-fitting
 */
import { type Curve, type CurveFit, fitCurve } from '../statistics/curve-fit.ts';
import { profileInterval } from '../statistics/profile-interval.ts';
import { quantile } from '../statistics/quantile.ts';

export interface LossCurve {
  readonly weedFreeKgHa: number;
  /** Per cent per (plant/m²) as density → 0. */
  readonly I: number;
  /** Per cent as density → ∞. */
  readonly A: number;
}

/** null: open, the records do not hold this end. A slope or a loss that may be none ends at 0. */
export interface OpenInterval {
  readonly low: number | null;
  readonly high: number | null;
}

export interface Pairs {
  readonly densityPerM2: Float64Array;
  readonly yieldKgHa: Float64Array;
}

export interface FittedLoss {
  readonly curve: LossCurve;
  readonly residualSumOfSquares: number;
  /** Fitted: 3, or 2 where A was given. */
  readonly parameters: number;
}

const MOST_LOSS_PERCENT = 100;
/** No plant takes more than the yield of 10 m² (*assumed*): beyond it a curve is a step that no records hold. */
export const STEEPEST_SLOPE = 1000;
/** Of 1/A: A between the whole yield and a thousandth of it. */
const FLATTEST = 1 / MOST_LOSS_PERCENT;
const LOWEST_CEILING = 10;

/** Per cent lost at a density. */
export function lossPercentAt({ I, A }: Pick<LossCurve, 'I' | 'A'>, densityPerM2: number): number {
  return (I * densityPerM2) / (1 + (I * densityPerM2) / A);
}

/**
 * The best curve from three starts: from the slope of the thinnest third, from the literature, and from far.
 * @param literature where no better start is known; its A is kept where `keepA`
 */
export function fitLoss(pairs: Pairs, literature: Pick<LossCurve, 'I' | 'A'>, keepA: boolean): FittedLoss {
  const curve = bySlope(pairs, keepA ? literature.A : null);
  const fit = fitCurve(
    curve,
    startsOf(pairs, literature).map(({ weedFreeKgHa, I, A }) => [weedFreeKgHa, I, ...(keepA ? [] : [1 / A])]),
  );
  const [weedFreeKgHa, I, inverseA] = fit.parameters as unknown as [number, number, number?];
  return {
    curve: { weedFreeKgHa, I, A: inverseA === undefined ? literature.A : 1 / inverseA },
    residualSumOfSquares: fit.residualSumOfSquares,
    parameters: fit.parameters.length,
  };
}

/** Profile intervals of I, and of A where it is fitted. @param keptA null where A is fitted */
export function intervalsOfCurve(
  pairs: Pairs,
  { curve }: FittedLoss,
  keptA: number | null,
  level: number,
): { I: OpenInterval; A: OpenInterval } {
  const form = bySlope(pairs, keptA);
  const fit = refit(form, [curve.weedFreeKgHa, curve.I, ...(keptA === null ? [1 / curve.A] : [])]);
  const { low, high } = profileInterval(form, fit, 1, level);
  const ofA = keptA === null ? profileInterval(form, fit, 2, level) : { low: null, high: null };
  const inverse = (end: number | null) => (end === null ? null : 1 / end);
  return { I: { low: low ?? 0, high }, A: { low: inverse(ofA.high), high: inverse(ofA.low) } };
}

/** Profile interval of the loss foretold at a density, per cent, with the curve that fits best at each end. */
export function intervalOfLoss(
  pairs: Pairs,
  { curve }: FittedLoss,
  keptA: number | null,
  densityPerM2: number,
  level: number,
): OpenInterval & { readonly atLow: LossCurve | null; readonly atHigh: LossCurve | null } {
  const form = byLossAt(pairs, keptA, densityPerM2);
  const loss = lossPercentAt(curve, densityPerM2);
  const bent = Math.max(0, (curve.I * densityPerM2) / curve.A - leastBend(loss));
  const fit = refit(form, [curve.weedFreeKgHa, loss, ...(keptA === null ? [bent] : [])]);
  const { low, high, atLow, atHigh } = profileInterval(form, fit, 1, level);
  const curveAt = (p: Float64Array | null): LossCurve | null =>
    p && { weedFreeKgHa: p[0]!, ...slopeAndCeiling(p[1]!, p[2] ?? 0, keptA, densityPerM2) };
  return { low: low ?? 0, high, atLow: curveAt(atLow), atHigh: curveAt(atHigh) };
}

/** Profile intervals of the mean yield at some densities, kg/ha. */
export function yieldBand(
  pairs: Pairs,
  { curve }: Pick<FittedLoss, 'curve'>,
  keptA: number | null,
  densitiesPerM2: readonly number[],
  level: number,
): OpenInterval[] {
  return densitiesPerM2.map((densityPerM2) => {
    const form = byYieldAt(pairs, keptA, densityPerM2);
    const mean = curve.weedFreeKgHa * (1 - lossPercentAt(curve, densityPerM2) / 100);
    const fit = refit(form, [mean, curve.I, ...(keptA === null ? [1 / curve.A] : [])]);
    const { low, high } = profileInterval(form, fit, 0, level);
    return { low, high };
  });
}

function refit(form: Curve, at: readonly number[]): CurveFit {
  return fitCurve(form, [at]);
}

/** Y₀, I and, where A is fitted, 1/A: straight at 0, so that thin stands are no special case. */
function bySlope({ densityPerM2: d, yieldKgHa: y }: Pairs, keptA: number | null): Curve {
  return {
    y,
    low: [0, 0, FLATTEST],
    high: [Infinity, STEEPEST_SLOPE, LOWEST_CEILING],
    predict(p, out) {
      const [weedFree, I, inverseA] = [p[0]!, p[1]! / 100, 100 * (keptA === null ? p[2]! : 1 / keptA)];
      for (let i = 0; i < out.length; i++) out[i] = weedFree * (1 - (I * d[i]!) / (1 + I * d[i]! * inverseA));
    },
  };
}

/** I·D/A at a density cannot be less than this where A ≤ 100. */
function leastBend(lossPercent: number): number {
  return lossPercent / (MOST_LOSS_PERCENT - lossPercent);
}

/** Y₀, the loss L at a density and, where A is fitted, how much more than least the curve is bent by there. */
function byLossAt({ densityPerM2: d, yieldKgHa: y }: Pairs, keptA: number | null, densityPerM2: number): Curve {
  const most = 0.999 * (keptA ?? MOST_LOSS_PERCENT);
  return {
    y,
    low: [0, 0, 0],
    high: [Infinity, most, Infinity],
    predict(p, out) {
      const { I, A } = slopeAndCeiling(p[1]!, p[2] ?? 0, keptA, densityPerM2);
      const [weedFree, slope, inverseA] = [p[0]!, I / 100, 100 / A];
      for (let i = 0; i < out.length; i++) out[i] = weedFree * (1 - (slope * d[i]!) / (1 + slope * d[i]! * inverseA));
    },
  };
}

function slopeAndCeiling(lossPercent: number, bent: number, keptA: number | null, densityPerM2: number) {
  if (keptA !== null) return { I: lossPercent / (1 - lossPercent / keptA) / densityPerM2, A: keptA };
  const bend = Math.min(leastBend(lossPercent) + bent, (STEEPEST_SLOPE * densityPerM2) / lossPercent - 1);
  return {
    I: (lossPercent * (1 + bend)) / densityPerM2,
    A: bend === 0 ? MOST_LOSS_PERCENT : (lossPercent * (1 + bend)) / bend,
  };
}

/** The mean yield at a density, I and, where A is fitted, 1/A. */
function byYieldAt({ densityPerM2: d, yieldKgHa: y }: Pairs, keptA: number | null, densityPerM2: number): Curve {
  return {
    y,
    low: [0, 0, FLATTEST],
    high: [Infinity, STEEPEST_SLOPE, LOWEST_CEILING],
    predict(p, out) {
      const [I, inverseA] = [p[1]! / 100, 100 * (keptA === null ? p[2]! : 1 / keptA)];
      const kept = (at: number) => 1 - (I * at) / (1 + I * at * inverseA);
      const weedFree = p[0]! / kept(densityPerM2);
      for (let i = 0; i < out.length; i++) out[i] = weedFree * kept(d[i]!);
    },
  };
}

/** methods-spatial §14: I from the slope of the lowest third of densities, A from the largest loss × 1.1 (20 ≤ A ≤ 100). */
function startsOf({ densityPerM2: d, yieldKgHa: y }: Pairs, literature: Pick<LossCurve, 'I' | 'A'>): LossCurve[] {
  const standing = d.filter((one) => one > 0);
  const thinnest = quantile(standing, 1 / 3);
  const { intercept, slope } = straightLine(d, y, (density) => density <= thinnest);
  const highest = Math.max(...y);
  const weedFreeKgHa = Number.isFinite(intercept) && intercept > 0 ? intercept : highest;
  const largest = 100 * (1 - Math.min(...y) / weedFreeKgHa);
  const steep = slope < 0 ? (-100 * slope) / weedFreeKgHa : literature.I;
  return [
    { weedFreeKgHa, I: Math.min(STEEPEST_SLOPE / 2, steep), A: Math.min(100, Math.max(20, 1.1 * largest)) },
    { weedFreeKgHa, ...literature },
    { weedFreeKgHa: highest, I: Math.min(STEEPEST_SLOPE / 2, 60 / quantile(standing, 0.5)), A: 60 },
  ];
}

/** Least squares over the pairs that are taken; NaN where all densities are one. */
export function straightLine(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  takes: (x: number) => boolean = () => true,
): { intercept: number; slope: number; residualSumOfSquares: number } {
  let [n, meanX, meanY, xx, xy, yy] = [0, 0, 0, 0, 0, 0];
  for (let i = 0; i < x.length; i++) {
    if (!takes(x[i]!)) continue;
    n++;
    const [dx, dy] = [x[i]! - meanX, y[i]! - meanY];
    meanX += dx / n;
    meanY += dy / n;
    xx += dx * (x[i]! - meanX);
    xy += dx * (y[i]! - meanY);
    yy += dy * (y[i]! - meanY);
  }
  const slope = xy / xx;
  return { intercept: meanY - slope * meanX, slope, residualSumOfSquares: Math.max(0, yy - slope * xy) };
}
