/**
 * Intervals of a curve's parameters by profile: every value at which the others, fitted anew, leave a sum of squares that the
 * data would still allow. They may be lopsided, and open where the data do not hold an end.
 * @source Bates & Watts 1988, Nonlinear Regression Analysis, §6.1 (memory); methods-spatial §14;
 *   tests/reference/curve-fitting (scipy, R MASS)
 */
import { type Curve, type CurveFit, fitCurve } from './curve-fit.ts';
import { fQuantile } from './special.ts';

export interface ProfileInterval {
  /** null: open, the data do not hold this end. */
  readonly low: number | null;
  readonly high: number | null;
  /** All parameters at each end, the others fitted anew; null where it is open. */
  readonly atLow: Float64Array | null;
  readonly atHigh: Float64Array | null;
}

/** An end further out than this many times the estimate counts as open. */
const FARTHEST_TIMES = 1e4;
const LONGEST_SEARCH = 60;
const NEAR_BOUND = 1e-3;
const END_WITHIN = 1e-7;

/**
 * Where (RSS(value) − RSS)/s² = F(level; 1, df), on both sides.
 * @param fit the best fit of the curve
 * @param index of the parameter
 * @param level 0–1
 * @cost about 20 fits with one parameter less
 */
export function profileInterval(curve: Curve, fit: CurveFit, index: number, level: number): ProfileInterval {
  const variance = fit.residualSumOfSquares / fit.degreesOfFreedom;
  if (!(variance > 0) || fit.degreesOfFreedom < 1) return { low: null, high: null, atLow: null, atHigh: null };
  const reach = Math.sqrt(fQuantile(level, 1, fit.degreesOfFreedom));
  const low = endOf(curve, fit, index, -1, variance, reach);
  const high = endOf(curve, fit, index, 1, variance, reach);
  return {
    low: low?.[index] ?? null,
    high: high?.[index] ?? null,
    atLow: low,
    atHigh: high,
  };
}

/** All parameters at one end; null where it is open. */
function endOf(
  curve: Curve,
  fit: CurveFit,
  index: number,
  side: -1 | 1,
  variance: number,
  reach: number,
): Float64Array | null {
  const centre = fit.parameters[index]!;
  const bound = (side < 0 ? curve.low?.[index] : curve.high?.[index]) ?? side * Infinity;
  const error = fit.standardErrors[index]!;
  const width = Number.isFinite(error) && error > 0 ? error : 0.3 * Math.abs(centre) || 0.3;
  /** Rises about evenly with the distance from the centre; 0 at the end. */
  const beyond = (value: number, from: Float64Array) => {
    const start = from.slice();
    start[index] = value;
    const { parameters, residualSumOfSquares } = fitCurve(curve, [start], index);
    const excess = Math.max(0, residualSumOfSquares - fit.residualSumOfSquares);
    return { value, parameters, over: Math.sqrt(excess / variance) - reach };
  };

  let inside = { value: centre, parameters: fit.parameters, over: -reach };
  for (let search = 0; search < LONGEST_SEARCH; search++) {
    let value = centre + side * width * 0.5 * 1.25 ** search;
    // Toward 0 in shares: a positive parameter has no room for a whole width.
    if (centre * side < 0 && Math.abs(value) < Math.abs(inside.value) / 4) value = inside.value / 4;
    if (centre * side < 0 && value * centre < 0) value = inside.value / 4;
    // So near to a bound as makes no difference, the bound itself is asked.
    const isLast = side * value >= side * bound || Math.abs(value - bound) < NEAR_BOUND * Math.abs(centre - bound);
    if (isLast) value = bound;
    if (Math.abs(value) > FARTHEST_TIMES * (Math.abs(centre) || width)) return null;
    const outside = beyond(value, inside.parameters);
    if (outside.over > 0) return between(inside, outside, beyond);
    if (isLast) return null;
    inside = outside;
  }
  return null;
}

interface Tried {
  readonly value: number;
  readonly parameters: Float64Array;
  readonly over: number;
}

/** All parameters where `over` is 0, by the Illinois form of false position. */
function between(inside: Tried, outside: Tried, beyond: (value: number, from: Float64Array) => Tried): Float64Array {
  let [a, b] = [inside, outside];
  let [overA, overB, last] = [a.over, b.over, 0];
  for (let turn = 0; turn < 100; turn++) {
    const one = beyond(b.value - (overB * (b.value - a.value)) / (overB - overA), a.parameters);
    if (Math.abs(one.over) < END_WITHIN || Math.abs(b.value - a.value) <= END_WITHIN * Math.abs(one.value))
      return one.parameters;
    if (one.over > 0) {
      [b, overB] = [one, one.over];
      if (last > 0) overA /= 2;
    } else {
      [a, overA] = [one, one.over];
      if (last < 0) overB /= 2;
    }
    last = one.over;
  }
  return a.parameters;
}
