/** Mean and spread of weighted numbers, in two passes: numbers near 1e9 keep the digits of their differences. */

export interface Summary {
  readonly mean: number;
  /** Unbiased for reliability weights: Σw(x − mean)²/(W − Σw²/W). With equal weights the usual n − 1 form. NaN for one number. */
  readonly variance: number;
  /** Σw(x − mean)²/W. */
  readonly varianceOfAll: number;
  /** (Σw)²/Σw²: how many equally weighted numbers these are worth. */
  readonly effectiveCount: number;
}

/**
 * Weighted mean and variance.
 * @param weights not below 0, at least one above; all 1 where omitted
 * @source tests/reference/statistics (weighted, varianceShifted; R cov.wt)
 */
export function summarise(values: ArrayLike<number>, weights?: ArrayLike<number>): Summary {
  const n = values.length;
  if (weights && weights.length !== n) throw new RangeError(`summarise: ${weights.length} weights for ${n} numbers`);
  const weightOf = (i: number): number => weights?.[i] ?? 1;
  let [total, squares, sum] = [0, 0, 0];
  for (let i = 0; i < n; i++) {
    const weight = weightOf(i);
    if (!(weight >= 0)) throw new RangeError(`summarise: weight ${i} is ${weight}`);
    total += weight;
    squares += weight * weight;
    sum += weight * values[i]!;
  }
  if (!(total > 0)) throw new RangeError('summarise: expected at least one number with a weight above 0');
  const rough = sum / total;
  let [shift, spread] = [0, 0];
  for (let i = 0; i < n; i++) {
    const apart = values[i]! - rough;
    shift += weightOf(i) * apart;
    spread += weightOf(i) * apart * apart;
  }
  // the second pass also mends what rounding left in the mean
  const mean = rough + shift / total;
  spread = Math.max(0, spread - (shift * shift) / total);
  const freedom = total - squares / total;
  return {
    mean,
    variance: freedom > 0 ? spread / freedom : NaN,
    varianceOfAll: spread / total,
    effectiveCount: (total * total) / squares,
  };
}
