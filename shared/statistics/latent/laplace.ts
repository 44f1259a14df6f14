/** The latent count model with everything but the field held fixed, by Laplace's method: its mode and the curvature there. */
import { backwardSolve, factorise, forwardSolve, forwardSolveFour } from '../cholesky.ts';
import { negativeBinomialLogProbability } from '../negative-binomial.ts';
import type { ModelPlaces } from './places.ts';
import { rowTimes } from './place-geometry.ts';

export interface FixedModel {
  /** Mean of log density, log plants/m². */
  readonly mu: number;
  /** Variance of the field. */
  readonly sill: number;
  /** Of one place; a group has its φ times as much. */
  readonly k: number;
  /** Correlation at a distance in metres; 1 at 0. */
  readonly correlation: (distanceM: number) => number;
}

export interface LaplaceFit {
  /** f at the mode: log density less μ. */
  readonly field: Float64Array;
  /** W: the weight of each place, what its count knows of log density. */
  readonly weight: Float64Array;
  /** Approximate log evidence. Not for choosing k, s or the range: it errs by more than they differ. */
  readonly logEvidence: number;
  /** a with mean = μ + kᵀa. */
  readonly dual: Float64Array;
  /** Cholesky factor of I + W^½KW^½. */
  readonly factor: Float64Array;
}

const MOST_ROUNDS = 60;
const MOST_HALVINGS = 30;
/** A round that gains less than this share of the objective is the last. */
const GAIN_LEFT = 1e-13;
/** η is held within this, so that a first step too far is no overflow. */
const REACH = 30;
const LEAST_WEIGHT = 1e-10;

/**
 * The mode of the field at the places, by Newton's method; the step is halved while the objective falls.
 * @throws on a model whose covariance has no factor
 * @source methods-spatial §7, last table; Rasmussen & Williams 2006, algorithm 3.1 (memory); tests/reference/infested-area (cases)
 * @cost 5–15 × n³/6
 */
export function laplaceFit(places: ModelPlaces, model: FixedModel): LaplaceFit {
  const n = places.count.length;
  const covariance = covarianceAtPlaces(places, model);
  const fit = {
    field: new Float64Array(n),
    weight: new Float64Array(n),
    dual: new Float64Array(n),
    factor: new Float64Array(n * n),
  };
  const gradient = new Float64Array(n);
  const target = new Float64Array(n);
  const work = new Float64Array(n);
  const next = { field: new Float64Array(n), dual: new Float64Array(n) };
  let objective = -Infinity;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    curvature(places, model, covariance, fit, gradient);
    for (let i = 0; i < n; i++) target[i] = fit.weight[i]! * fit.field[i]! + gradient[i]!;
    for (let i = 0; i < n; i++) work[i] = Math.sqrt(fit.weight[i]!) * rowTimes(covariance, i, n, target);
    forwardSolve(fit.factor, n, n, work);
    backwardSolve(fit.factor, n, n, work);
    for (let i = 0; i < n; i++) target[i]! -= Math.sqrt(fit.weight[i]!) * work[i]!;
    let reached = -Infinity;
    for (let step = 1, halvings = 0; halvings < MOST_HALVINGS; step /= 2, halvings++) {
      for (let i = 0; i < n; i++) next.dual[i] = fit.dual[i]! + step * (target[i]! - fit.dual[i]!);
      for (let i = 0; i < n; i++) next.field[i] = rowTimes(covariance, i, n, next.dual);
      reached = logPosterior(places, model, next);
      if (reached >= objective) break;
    }
    if (reached < objective) break;
    const gain = reached - objective;
    objective = reached;
    fit.dual.set(next.dual);
    fit.field.set(next.field);
    if (gain <= GAIN_LEFT * Math.max(1, Math.abs(objective))) break;
  }
  curvature(places, model, covariance, fit, gradient);
  let logEvidence = objective;
  for (let i = 0; i < n; i++) logEvidence += Math.log(fit.factor[i * n + i]!);
  return { ...fit, logEvidence };
}

/**
 * Log density at targets: mean, and variance of the field there.
 * @param mean written @param variance written
 * @cost n²/2 a target
 */
export function laplacePredict(
  places: ModelPlaces,
  model: FixedModel,
  fit: LaplaceFit,
  xM: Float64Array,
  yM: Float64Array,
  mean: Float64Array,
  variance: Float64Array,
): void {
  const n = places.count.length;
  const four = new Float64Array(4 * n);
  const rootWeight = fit.weight.map(Math.sqrt);
  for (let first = 0; first < xM.length; first += 4) {
    const last = Math.min(xM.length - 1, first + 3);
    for (let c = 0; c < 4; c++) {
      const target = Math.min(last, first + c); // the last target fills a short block
      let sum = model.mu;
      for (let j = 0; j < n; j++) {
        const k = covarianceBetween(model, places.xM[j]! - xM[target]!, places.yM[j]! - yM[target]!);
        sum += k * fit.dual[j]!;
        four[4 * j + c] = rootWeight[j]! * k;
      }
      mean[target] = sum;
    }
    forwardSolveFour(fit.factor, n, n, four);
    for (let target = first; target <= last; target++) {
      let left = model.sill;
      for (let at = target - first; at < 4 * n; at += 4) left -= four[at]! * four[at]!;
      variance[target] = Math.max(0, left);
    }
  }
}

/**
 * Covariance of log density between targets: what one more count at one of them would tell of the others.
 * @returns m × m, row-major, symmetric
 * @cost m n²/2 + m² n/2
 */
export function laplaceCovariance(
  places: ModelPlaces,
  model: FixedModel,
  fit: LaplaceFit,
  xM: Float64Array,
  yM: Float64Array,
): Float64Array {
  const n = places.count.length;
  const m = xM.length;
  const whitened = new Float64Array(m * n);
  const row = new Float64Array(n);
  const covariance = new Float64Array(m * m);
  for (let i = 0; i < m; i++) {
    for (let j = 0; j < n; j++) {
      const k = covarianceBetween(model, places.xM[j]! - xM[i]!, places.yM[j]! - yM[i]!);
      row[j] = Math.sqrt(fit.weight[j]!) * k;
    }
    forwardSolve(fit.factor, n, n, row);
    whitened.set(row, i * n);
    for (let j = 0; j <= i; j++)
      covariance[i * m + j] = covariance[j * m + i] =
        covarianceBetween(model, xM[i]! - xM[j]!, yM[i]! - yM[j]!) - rowTimes(whitened, j, n, row);
  }
  return covariance;
}

function covarianceBetween({ sill, correlation }: FixedModel, dx: number, dy: number): number {
  return sill * correlation(Math.sqrt(dx * dx + dy * dy));
}

function covarianceAtPlaces({ xM, yM }: ModelPlaces, model: FixedModel): Float64Array {
  const n = xM.length;
  const covariance = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++)
      covariance[i * n + j] = covariance[j * n + i] = covarianceBetween(model, xM[i]! - xM[j]!, yM[i]! - yM[j]!);
  return covariance;
}

/** Gradient and weights of the counts at the field, and the factor of I + W^½KW^½. */
function curvature(
  { count, effortM2, kFactor }: ModelPlaces,
  { mu, k }: FixedModel,
  covariance: Float64Array,
  { field, weight, factor }: Pick<LaplaceFit, 'field' | 'weight' | 'factor'>,
  gradient: Float64Array,
): void {
  const n = count.length;
  for (let i = 0; i < n; i++) {
    const expected = expectedCount(effortM2[i]!, mu + field[i]!);
    const kappa = k * kFactor[i]!;
    const all = count[i]! + kappa;
    gradient[i] = count[i]! - (all * expected) / (expected + kappa);
    weight[i] = Math.max(LEAST_WEIGHT, (all * expected * kappa) / (expected + kappa) ** 2);
  }
  for (let i = 0; i < n; i++) {
    const root = Math.sqrt(weight[i]!);
    for (let j = 0; j <= i; j++) factor[i * n + j] = root * Math.sqrt(weight[j]!) * covariance[i * n + j]!;
    factor[i * n + i]! += 1;
  }
  if (!factorise(factor, n, n)) throw new Error(`laplaceFit: ${n} places have no factor`);
}

function logPosterior(
  { count, effortM2, kFactor }: ModelPlaces,
  { mu, k }: FixedModel,
  { field, dual }: Pick<LaplaceFit, 'field' | 'dual'>,
): number {
  let sum = 0;
  for (let i = 0; i < count.length; i++)
    sum +=
      negativeBinomialLogProbability(count[i]!, expectedCount(effortM2[i]!, mu + field[i]!), k * kFactor[i]!) -
      0.5 * dual[i]! * field[i]!;
  return sum;
}

function expectedCount(effortM2: number, eta: number): number {
  return effortM2 * Math.exp(Math.min(REACH, Math.max(-REACH, eta)));
}
