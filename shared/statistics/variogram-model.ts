/** Variogram models: how unlike two places are, by their distance. */

export type VariogramKind = 'exponential' | 'spherical' | 'matern32' | 'gaussian';
export const VARIOGRAM_KINDS: readonly VariogramKind[] = ['exponential', 'spherical', 'matern32', 'gaussian'];

/**
 * γ(h) = nugget + partialSill · (1 − ρ(h)) for h above 0, and 0 at h = 0.
 * `rangeM` is the model's parameter a, not the practical range.
 */
export interface VariogramModel {
  readonly kind: VariogramKind;
  readonly nugget: number;
  readonly partialSill: number;
  readonly rangeM: number;
}

/**
 * Correlation ρ of the smooth part at a distance; 1 at 0. The nugget is not in it.
 * exponential e^−q · spherical 1 − 1.5q + 0.5q³ below q = 1 · Matérn 3/2 (1 + q)e^−q · Gaussian e^−q², with q = h/a.
 * @source tests/reference/variogram-kriging (`models`, by gstat 2.1-0)
 */
export function correlation(kind: VariogramKind, distanceM: number, rangeM: number): number {
  const q = distanceM / rangeM;
  switch (kind) {
    case 'exponential':
      return Math.exp(-q);
    case 'spherical':
      return q < 1 ? 1 - q * (1.5 - 0.5 * q * q) : 0;
    case 'matern32':
      return (1 + q) * Math.exp(-q);
    case 'gaussian':
      return Math.exp(-q * q);
  }
}

/** γ at a distance, in squared units of the values. */
export function semivariance(model: VariogramModel, distanceM: number): number {
  if (distanceM === 0) return 0;
  return model.nugget + model.partialSill * (1 - correlation(model.kind, distanceM, model.rangeM));
}

/** Where 95 % of the partial sill is reached (all of it for the spherical model), m. */
export function practicalRangeM(model: Pick<VariogramModel, 'kind' | 'rangeM'>): number {
  return model.rangeM * { exponential: 3, spherical: 1, matern32: 4.74, gaussian: Math.sqrt(3) }[model.kind];
}
