/** What the seedbank's equations say without stepping through years: run-down, growth, equilibrium. */

import type { SeedbankBiology, SeedbankYear, Tillage } from './seedbank.ts';
import { plantsPerSeedling } from './seedbank.ts';

type Germination = Pick<SeedbankBiology, 'emergenceFraction' | 'fatalGerminationFraction'>;

/**
 * λ, yearly factor of the shallow bank without seed return: s₁ (1 − g (1 + φ_f)).
 * @source methods-season §5; reference case no-seed-return
 */
export function annualSurvivalFraction(biology: Germination & Pick<SeedbankBiology, 'survivalShallow'>): number {
  return biology.survivalShallow * (1 - biology.emergenceFraction * (1 + biology.fatalGerminationFraction));
}

/**
 * s₁ from a published yearly factor λ, which counts emergence as loss: λ / (1 − g (1 + φ_f)), at most 1.
 * @throws where λ is more than can be left after emergence
 */
export function survivalFromAnnual(annualFraction: number, germination: Germination): number {
  const left = 1 - germination.emergenceFraction * (1 + germination.fatalGerminationFraction);
  if (!(annualFraction >= 0 && annualFraction <= left)) {
    throw new RangeError(
      `survivalFromAnnual: ${annualFraction} of a bank cannot be left where ${left} did not germinate`,
    );
  }
  return annualFraction / left;
}

/** Years until a share of the bank is left without return: ln x / ln λ. 0 where x is 1; never (Infinity) where λ is 1. */
export function yearsToFraction(annualFraction: number, remainingFraction: number): number {
  if (!(annualFraction >= 0 && annualFraction <= 1 && remainingFraction > 0 && remainingFraction <= 1)) {
    throw new RangeError(`yearsToFraction: expected shares, got ${annualFraction}, ${remainingFraction}`);
  }
  if (remainingFraction === 1) return 0;
  if (annualFraction === 0) return 1;
  return annualFraction === 1 ? Infinity : Math.log(remainingFraction) / Math.log(annualFraction);
}

/** Springs to wait until that is reached. */
export function wholeYearsToFraction(annualFraction: number, remainingFraction: number): number {
  return Math.ceil(yearsToFraction(annualFraction, remainingFraction) - 1e-12);
}

export interface Outlook {
  /** λ. */
  readonly annualSurvivalFraction: number;
  /** R = λ + G: yearly factor of a small bank. Above 1 it grows. */
  readonly growthAtLowDensity: number;
  /** B* = (G/(1−λ) − 1)/(a n), seeds/m²; 0 where a small bank does not grow; Infinity without crowding. */
  readonly equilibriumPerM2: number;
  /** λ + (1−λ)²/G, in (λ, 1): the approach to B*, without overshoot. NaN where there is no equilibrium above 0. */
  readonly slopeAtEquilibrium: number;
}

/**
 * Growth, equilibrium and its stability of a shallow bank under the same year for ever, nothing brought in; n effective
 * plants per banked seed, G = u ρ φF n.
 * @source methods-season §5; reference case equilibrium-one-cohort
 */
export function bankOutlook(biology: SeedbankBiology, year: SeedbankYear): Outlook {
  const lambda = annualSurvivalFraction(biology);
  const n = biology.emergenceFraction * plantsPerSeedling(year.cohorts).effective;
  const gain = biology.enteringFraction * year.returnedFraction * year.seedsPerPlant * n;
  const grows = lambda + gain > 1;
  return {
    annualSurvivalFraction: lambda,
    growthAtLowDensity: lambda + gain,
    equilibriumPerM2: grows ? (gain / (1 - lambda) - 1) / (year.crowding * n) : 0,
    slopeAtEquilibrium: grows ? lambda + (1 - lambda) ** 2 / gain : NaN,
  };
}

/**
 * Share of seedlings that may live to set seed before the bank grows (one cohort): (1−λ)/(u ρ φF g).
 * @source methods-season §5; reference case survival-that-holds-the-bank
 */
export function holdingSurvivorFraction(
  biology: SeedbankBiology,
  year: Pick<SeedbankYear, 'seedsPerPlant' | 'returnedFraction'>,
): number {
  const perSeedling = biology.enteringFraction * year.returnedFraction * year.seedsPerPlant * biology.emergenceFraction;
  return (1 - annualSurvivalFraction(biology)) / perSeedling;
}

/** Bank that c seeds/m² brought in every year lead to, without return: u c/(1 − λ). */
export function broughtInLimitPerM2(biology: SeedbankBiology, broughtInPerM2: number): number {
  return (biology.enteringFraction * broughtInPerM2) / (1 - annualSurvivalFraction(biology));
}

/**
 * Long-run yearly factor of two layers without return: the largest eigenvalue of T·diag(λ, s₂).
 * @source methods-season §5; reference case two-layers-no-return
 */
export function twoLayerAnnualFraction(biology: SeedbankBiology, tillage: Tillage = biology.tillage): number {
  const lambda = annualSurvivalFraction(biology);
  const s = biology.survivalDeep;
  const [[a, b], [c, d]] = [
    [tillage[0][0] * lambda, tillage[0][1] * s],
    [tillage[1][0] * lambda, tillage[1][1] * s],
  ] as const;
  // a matrix without negative entries: both eigenvalues are real, (a−d)² + 4bc ≥ 0
  return (a + d + Math.sqrt((a - d) ** 2 + 4 * b * c)) / 2;
}
