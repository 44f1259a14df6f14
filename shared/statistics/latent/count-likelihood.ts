/** Negative binomial log likelihood of all places at once, without its constant: what a sweep asks for most. */
import { lgamma } from '../special.ts';
import type { ModelPlaces } from './places.ts';

/** Up to this count the gamma functions are a plain product. */
const PRODUCT_UP_TO = 20;
/** Above this log(1 + e^ψ) is ψ to the last digit. */
const LINEAR_ABOVE = 36;

/**
 * log Γ(κ + c) − log Γ(κ).
 * @param kappa above 0 @param count not below 0
 */
export function logRising(kappa: number, count: number): number {
  if (count === 0) return 0;
  if (count > PRODUCT_UP_TO || !Number.isInteger(count)) return lgamma(kappa + count) - lgamma(kappa);
  let product = kappa;
  for (let j = 1; j < count; j++) product *= kappa + j;
  return Math.log(product);
}

/** Σ log Γ(κ_i + c_i) − log Γ(κ_i), κ_i = kφ_i: the part that only k changes. */
export function countTerm({ count, kFactor }: ModelPlaces, k: number): number {
  let sum = 0;
  for (let i = 0; i < count.length; i++) if (count[i]! > 0) sum += logRising(k * kFactor[i]!, count[i]!);
  return sum;
}

/**
 * Σ cψ − (c + κ)log(1 + e^ψ), ψ_i = μ + √s·u_i + log(e_i/κ_i): the part that the field changes. With `countTerm` and
 * less Σ log c! it is the log likelihood.
 * @param u the field of variance 1 at the places
 */
export function fieldTerm(
  places: ModelPlaces,
  logEffort: Float64Array,
  u: Float64Array,
  mu: number,
  rootSill: number,
  logK: number,
): number {
  const { count, kFactor } = places;
  const k = Math.exp(logK);
  let sum = 0;
  for (let i = 0; i < count.length; i++) {
    const factor = kFactor[i]!;
    const psi = mu + rootSill * u[i]! + logEffort[i]! - logK - (factor === 1 ? 0 : Math.log(factor));
    const c = count[i]!;
    sum += c * psi - (c + k * factor) * (psi > LINEAR_ABOVE ? psi : Math.log1p(Math.exp(psi)));
  }
  return sum;
}
