/**
 * Curves fitted by least squares: Levenberg–Marquardt on scaled parameters, within bounds, from several starts.
 * @source Marquardt 1963, SIAM J. 11:431–441; Nielsen 1999, IMM-REP-1999-05 (damping), both memory; methods-spatial §14;
 *   tests/reference/curve-fitting (NIST StRD, R nls, scipy)
 */
import { inverseDiagonalOfTriangle, solveLeastSquares } from './least-squares.ts';

export interface Curve {
  readonly y: ArrayLike<number>;
  /** Weight of each squared residual, ≥ 0; 1 where left out. */
  readonly weights?: ArrayLike<number>;
  /** Writes the curve's value at each observation. */
  predict(p: Float64Array, out: Float64Array): void;
  /** Ends of each parameter; ±Infinity where there is none. A fit may end on one. */
  readonly low?: readonly number[];
  readonly high?: readonly number[];
}

export interface CurveFit {
  readonly parameters: Float64Array;
  /** s²(JᵀJ)⁻¹: for display of the fit alone, intervals are profiles. Infinity where the data hold nothing of a parameter; NaN with one held. */
  readonly standardErrors: Float64Array;
  /** Weighted sum of squared residuals. */
  readonly residualSumOfSquares: number;
  readonly degreesOfFreedom: number;
  /** Largest |cosine| between the residuals and a column of the Jacobian, columns held at a bound left out. */
  readonly relativeGradient: number;
  readonly converged: boolean;
}

const GRADIENT_ENOUGH = 1e-10;
/** Of a profile only the sum of squares matters, whose error is the square of this. */
const GRADIENT_ENOUGH_HELD = 1e-6;
/** At a step that no longer changes the sum of squares, a gradient below this still counts as an answer. */
const GRADIENT_AT_REST = 1e-5;
const MOST_ITERATIONS = 1000;
const FIRST_DAMPING = 1e-3;

/**
 * The best fit from several starts.
 * @param starts each a whole set of parameters
 * @param held index of a parameter that keeps the value of the start
 * @throws without a start, or with fewer observations than free parameters
 * @cost O(iterations · observations · parameters²)
 */
export function fitCurve(curve: Curve, starts: readonly ArrayLike<number>[], held = -1): CurveFit {
  if (starts.length === 0) throw new Error('fitCurve: expected at least one start');
  const fits = starts.map((start) => fitFrom(curve, Float64Array.from(start), held));
  return fits.reduce((best, one) => (one.residualSumOfSquares < best.residualSumOfSquares ? one : best));
}

function fitFrom(curve: Curve, p: Float64Array, held: number): CurveFit {
  const n = curve.y.length;
  const size = p.length;
  const free = Array.from(p.keys()).filter((k) => k !== held);
  if (n < free.length) throw new Error(`fitCurve: ${n} observations for ${free.length} parameters`);
  const scale = p.map((one) => Math.abs(one) || 1);
  clamp(curve, p);
  const reached = new Float64Array(size);
  let residuals = residualsAt(curve, p, new Float64Array(n));
  let next = new Float64Array(n);
  let squares = sumOfSquares(residuals);
  const enough = held < 0 ? GRADIENT_ENOUGH : GRADIENT_ENOUGH_HELD;
  let [damping, growth, isAtRest, gradient] = [FIRST_DAMPING, 2, false, Infinity];
  for (let iteration = 0; iteration < MOST_ITERATIONS && !isAtRest; iteration++) {
    const columns = jacobian(curve, p, scale, free);
    const moving = free.filter((k, j) => !pushesOut(curve, p, k, dot(columns[j]!, residuals)));
    const of = moving.map((k) => columns[free.indexOf(k)]!);
    gradient = Math.max(0, ...of.map((column) => cosine(column, residuals)));
    if (gradient <= enough || squares === 0) break;
    moving.forEach((k, j) => (reached[k] = Math.max(reached[k]!, Math.sqrt(sumOfSquares(of[j]!)))));
    // The same Jacobian serves until a step makes the sum of squares smaller.
    for (let tries = 0; ; tries++) {
      const step = dampedStep(of, residuals, moving, reached, damping);
      const trial = p.slice();
      moving.forEach((k, j) => (trial[k] = p[k]! + step[j]! * scale[k]!));
      clamp(curve, trial);
      if (tries > 60 || moving.every((k) => trial[k] === p[k])) {
        isAtRest = true;
        break;
      }
      residualsAt(curve, trial, next);
      const trialSquares = sumOfSquares(next);
      if (trialSquares < squares) {
        const hoped = squares - linearSquares(of, residuals, moving, trial, p, scale);
        const ratio = hoped > 0 ? (squares - trialSquares) / hoped : 1;
        damping *= Math.max(1 / 3, 1 - (2 * Math.min(1, ratio) - 1) ** 3);
        growth = 2;
        p = trial;
        [residuals, next] = [next, residuals];
        squares = trialSquares;
        break;
      }
      damping *= growth;
      growth *= 2;
    }
  }
  return {
    parameters: p,
    standardErrors: held < 0 ? errorsAt(curve, p, scale, free, squares) : new Float64Array(size).fill(NaN),
    residualSumOfSquares: squares,
    degreesOfFreedom: n - free.length,
    relativeGradient: gradient,
    converged: gradient <= enough || (isAtRest && gradient <= GRADIENT_AT_REST) || squares === 0,
  };
}

function clamp({ low, high }: Curve, p: Float64Array): void {
  for (let k = 0; k < p.length; k++) p[k] = Math.min(high?.[k] ?? Infinity, Math.max(low?.[k] ?? -Infinity, p[k]!));
}

/** Whether the parameter stands on a bound and would leave it. */
function pushesOut({ low, high }: Curve, p: Float64Array, k: number, slope: number): boolean {
  return (p[k]! <= (low?.[k] ?? -Infinity) && slope >= 0) || (p[k]! >= (high?.[k] ?? Infinity) && slope <= 0);
}

/** √w·(curve − y); a curve that is no number there counts as far off. */
function residualsAt<Buffer extends Float64Array>(curve: Curve, p: Float64Array, out: Buffer): Buffer {
  const { y, weights } = curve;
  curve.predict(p, out);
  for (let i = 0; i < out.length; i++) {
    const apart = (out[i]! - y[i]!) * (weights ? Math.sqrt(weights[i]!) : 1);
    out[i] = Number.isFinite(apart) ? apart : 1e100;
  }
  return out;
}

/** Columns by parameter / scale, differences of the fourth order, one-sided nowhere: a bound may be passed by a hair. */
function jacobian(curve: Curve, p: Float64Array, scale: Float64Array, free: readonly number[]): Float64Array[] {
  const n = curve.y.length;
  const moved = p.slice();
  const [far1, near1, near2, far2] = [-2, -1, 1, 2].map(() => new Float64Array(n)) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  return free.map((k) => {
    const h = 6e-4 * (Math.abs(p[k]!) || 1e-3 * scale[k]!);
    const at = (value: number, out: Float64Array) => {
      moved[k] = value;
      curve.predict(moved, out);
    };
    at(p[k]! - 2 * h, far1);
    at(p[k]! - h, near1);
    at(p[k]! + h, near2);
    at(p[k]! + 2 * h, far2);
    moved[k] = p[k]!;
    const column = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      const slope = (far1[i]! - far2[i]! + 8 * (near2[i]! - near1[i]!)) / (12 * h);
      const weighted = slope * scale[k]! * (curve.weights ? Math.sqrt(curve.weights[i]!) : 1);
      column[i] = Number.isFinite(weighted) ? weighted : 0;
    }
    return column;
  });
}

/** min ‖J δ + r‖² + damping·‖D δ‖², D the longest that each column has been. */
function dampedStep(
  columns: readonly Float64Array[],
  residuals: Float64Array,
  moving: readonly number[],
  reached: Float64Array,
  damping: number,
): Float64Array {
  const n = residuals.length;
  const rows = n + columns.length;
  const a = new Float64Array(rows * columns.length);
  const b = new Float64Array(rows);
  columns.forEach((column, j) => {
    a.set(column, j * rows);
    a[j * rows + n + j] = Math.sqrt(damping) * (reached[moving[j]!]! || 1);
  });
  for (let i = 0; i < n; i++) b[i] = -residuals[i]!;
  return solveLeastSquares(a, rows, columns.length, b);
}

/** Sum of squares that the straight-line model foretells for the step taken. */
function linearSquares(
  columns: readonly Float64Array[],
  residuals: Float64Array,
  moving: readonly number[],
  to: Float64Array,
  from: Float64Array,
  scale: Float64Array,
): number {
  let sum = 0;
  for (let i = 0; i < residuals.length; i++) {
    let value = residuals[i]!;
    for (let j = 0; j < columns.length; j++) {
      const k = moving[j]!;
      value += columns[j]![i]! * ((to[k]! - from[k]!) / scale[k]!);
    }
    sum += value * value;
  }
  return sum;
}

function errorsAt(
  curve: Curve,
  p: Float64Array,
  scale: Float64Array,
  free: readonly number[],
  squares: number,
): Float64Array {
  const n = curve.y.length;
  const a = new Float64Array(n * free.length);
  jacobian(curve, p, scale, free).forEach((column, j) => a.set(column, j * n));
  solveLeastSquares(a, n, free.length, new Float64Array(n));
  const variance = inverseDiagonalOfTriangle(a, n, free.length);
  const out = new Float64Array(p.length);
  free.forEach((k, j) => (out[k] = scale[k]! * Math.sqrt((squares / (n - free.length)) * variance[j]!)));
  return out;
}

function sumOfSquares(x: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i]! * x[i]!;
  return sum;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}

function cosine(a: Float64Array, b: Float64Array): number {
  const lengths = Math.sqrt(sumOfSquares(a) * sumOfSquares(b));
  return lengths === 0 ? 0 : Math.abs(dot(a, b)) / lengths;
}
