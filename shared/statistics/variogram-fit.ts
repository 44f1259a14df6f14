/**
 * Fits a variogram model to an empirical variogram by weighted least squares, weights pairs / distance².
 * For a given range the best nugget and sill are a linear problem with an exact answer, so only the range is searched:
 * a scan of it over its whole span, then golden section around every dip. Unlike steps from a few starts this cannot
 * stop on the way.
 */
import type { EmpiricalVariogram } from './variogram.ts';
import type { VariogramKind, VariogramModel } from './variogram-model.ts';
import { correlation } from './variogram-model.ts';

export interface VariogramFit {
  readonly model: VariogramModel;
  /** Σ pairs/h̄² · (γ̂ − γ)². */
  readonly weightedSquares: number;
  /** The range lies on a limit of its span: the data do not hold it. */
  readonly rangeAtLimit: boolean;
}

const SCAN_STEPS = 160;
const GOLDEN = (Math.sqrt(5) - 1) / 2;

/**
 * Nugget, partial sill ≥ 0 and shortest lag/5 ≤ a ≤ 3·cutoff with the least weighted squares.
 * @returns null where fewer than three lags hold pairs
 * @source weights: gstat fit.variogram, method 7 ("supported by practice, not theory"); tests/reference/variogram-kriging (fits, bestFits)
 * @cost O(lags × 400)
 */
export function fitVariogram(empirical: EmpiricalVariogram, kind: VariogramKind): VariogramFit | null {
  const lags = empirical.gamma.length;
  if (lags < 3) return null;
  const shortest = Math.log(empirical.distanceM[0]! / 5);
  const longest = Math.log(3 * empirical.cutoffM);
  const step = (longest - shortest) / SCAN_STEPS;
  const squaresAt = (logRange: number): number => fitLinear(empirical, kind, Math.exp(logRange)).squares;

  const scan = new Float64Array(SCAN_STEPS + 1);
  for (let i = 0; i <= SCAN_STEPS; i++) scan[i] = squaresAt(shortest + i * step);
  let best = shortest;
  let least = Infinity;
  for (let i = 0; i <= SCAN_STEPS; i++) {
    if (scan[i]! > (scan[i - 1] ?? Infinity) || scan[i]! > (scan[i + 1] ?? Infinity)) continue;
    const from = shortest + Math.max(0, i - 1) * step;
    const to = shortest + Math.min(SCAN_STEPS, i + 1) * step;
    const at = goldenSection(squaresAt, from, to);
    for (const candidate of [at, from, to]) {
      const squares = squaresAt(candidate);
      if (squares < least) {
        least = squares;
        best = candidate;
      }
    }
  }
  const rangeM = Math.exp(best);
  const { nugget, partialSill, squares } = fitLinear(empirical, kind, rangeM);
  return {
    model: { kind, nugget, partialSill, rangeM },
    weightedSquares: squares,
    rangeAtLimit: best <= shortest + 1e-6 || best >= longest - 1e-6,
  };
}

/** Best nugget and partial sill, both ≥ 0, for one range: the normal equations, or the better edge where one would be negative. */
function fitLinear({ pairs, distanceM, gamma }: EmpiricalVariogram, kind: VariogramKind, rangeM: number) {
  let [s1, sf, sff, sg, sfg] = [0, 0, 0, 0, 0];
  for (let i = 0; i < gamma.length; i++) {
    const h = distanceM[i]!;
    const weight = pairs[i]! / (h * h);
    const f = 1 - correlation(kind, h, rangeM);
    const g = gamma[i]!;
    s1 += weight;
    sf += weight * f;
    sff += weight * f * f;
    sg += weight * g;
    sfg += weight * f * g;
  }
  const determinant = s1 * sff - sf * sf;
  let nugget = determinant > 1e-14 * s1 * sff ? (sg * sff - sfg * sf) / determinant : -1;
  let partialSill = determinant > 1e-14 * s1 * sff ? (s1 * sfg - sf * sg) / determinant : -1;
  if (nugget < 0 || partialSill < 0) {
    const sillAlone = sff > 0 ? Math.max(0, sfg / sff) : 0;
    const nuggetAlone = Math.max(0, sg / s1);
    // gain in squares over the empty model: sillAlone² sff against nuggetAlone² s1
    const sillWins = sillAlone * sillAlone * sff >= nuggetAlone * nuggetAlone * s1;
    nugget = sillWins ? 0 : nuggetAlone;
    partialSill = sillWins ? sillAlone : 0;
  }
  let squares = 0;
  for (let i = 0; i < gamma.length; i++) {
    const h = distanceM[i]!;
    const residual = gamma[i]! - nugget - partialSill * (1 - correlation(kind, h, rangeM));
    squares += (pairs[i]! / (h * h)) * residual * residual;
  }
  return { nugget, partialSill, squares };
}

function goldenSection(f: (x: number) => number, from: number, to: number): number {
  let [a, b] = [from, to];
  let c = b - GOLDEN * (b - a);
  let d = a + GOLDEN * (b - a);
  let [fc, fd] = [f(c), f(d)];
  for (let i = 0; i < 45 && b - a > 1e-9; i++) {
    if (fc < fd) {
      [b, d, fd] = [d, c, fc];
      c = b - GOLDEN * (b - a);
      fc = f(c);
    } else {
      [a, c, fc] = [c, d, fd];
      d = a + GOLDEN * (b - a);
      fd = f(d);
    }
  }
  return fc < fd ? c : d;
}
