/**
 * Three cohorts of one season's emergence: `early` before planting (burndown and tillage meet it), `with the crop` from
 * planting until some days after crop emergence, `late` after that. Which day counts as late is *assumed* (14, 10–21 days).
 */
import type { Cohort } from '../model/farm.ts';
import { lateSeedFactor, survivalToMaturity } from './seed-return.ts';
import { hasParameter, valueOf } from './parameter.ts';
import type { ParameterId, Values } from './parameter.ts';
import type { SeasonEmergence } from './emergence.ts';

export const COHORT_ORDER: readonly Cohort[] = ['early', 'with the crop', 'late'];

export interface CohortShare {
  readonly cohort: Cohort;
  /** Share of the season's emergence; the three sum to what emerges in the season. */
  readonly shareFraction: number;
  /** Mean days after crop emergence; negative before it. NaN where the cohort is empty. */
  readonly meanDelayDays: number;
  /** ω, mean seed relative to a plant that came with the crop; 0–1. */
  readonly relativeFecundity: number;
  /** σ, mean share that lives to maturity without control; 0–1. */
  readonly survivalFraction: number;
  /** Mean of exp(−C·T): competitiveness relative to a plant that came with the crop; ≤ 1, as for seed. */
  readonly relativeCompetition: number;
  /** Share that the residuals in the soil control, weighed by emergence; 0 without residuals. */
  readonly residualControlFraction: number;
}

/** What `splitCohorts` reads of a species in a crop: name these in a step. */
export function cohortParameters(species: string, crop: string): ParameterId[] {
  return [
    `${species}.seedProduction.${crop}.lateness`,
    `${species}.survival.${crop}.k`,
    `${species}.survival.${crop}.T50`,
    `${species}.yieldLoss.${crop}.C`,
    'cohort.lateAfterDays',
    'cohort.cropEmergesAfterDays',
  ].filter(hasParameter);
}

/** Day of crop emergence: as seen, else planting + the usual days (*assumed*), and which of the two it was. */
export function cropEmergenceDay(
  plantedDay: number,
  emergedDay: number | null,
  values: Values,
): { day: number; basis: 'seen' | 'from planting' } {
  return emergedDay === null
    ? { day: plantedDay + Math.round(valueOf(values, 'cohort.cropEmergesAfterDays')), basis: 'from planting' }
    : { day: emergedDay, basis: 'seen' };
}

/**
 * Splits a season's emergence into the three cohorts. The means ω, σ and of competition are weighed by the emergence of
 * each day, not taken at the mean day.
 * @param control share controlled by residuals on each day of the season, or null without residuals
 * @param values resolved `cohortParameters(species, crop)`
 * @cost O(days)
 */
export function splitCohorts(
  { firstDay, cumulative }: Pick<SeasonEmergence, 'firstDay' | 'cumulative'>,
  { plantedDay, cropDay, control = null }: { plantedDay: number; cropDay: number; control?: Float64Array | null },
  { species, crop }: { species: string; crop: string },
  values: Values,
): CohortShare[] {
  const days = cumulative.length - 1;
  if (control !== null && control.length !== days)
    throw new Error(`splitCohorts: expected ${days} days of control, got ${control.length}`);
  if (cropDay < plantedDay) throw new Error('splitCohorts: the crop emerged before it was planted');
  const lateFrom = cropDay + valueOf(values, 'cohort.lateAfterDays');
  const Cs = valueOf(values, `${species}.seedProduction.${crop}.lateness`);
  const k = valueOf(values, `${species}.survival.${crop}.k`);
  const T50 = valueOf(values, `${species}.survival.${crop}.T50`);
  const C = valueOf(values, `${species}.yieldLoss.${crop}.C`);

  // Sums a cohort: share, share·T, share·ω, share·σ, share·competition, share·control.
  const sums = [0, 1, 2].map(() => new Float64Array(6));
  for (let i = 0; i < days; i++) {
    const emerged = cumulative[i + 1]! - cumulative[i]!;
    if (emerged <= 0) continue;
    const day = firstDay + i;
    const delay = day - cropDay;
    const sum = sums[day < plantedDay ? 0 : day < lateFrom ? 1 : 2]!;
    sum[0]! += emerged;
    sum[1]! += emerged * delay;
    sum[2]! += emerged * lateSeedFactor(delay, Cs);
    sum[3]! += emerged * survivalToMaturity(delay, k, T50);
    sum[4]! += emerged * lateSeedFactor(delay, C);
    sum[5]! += control === null ? 0 : emerged * control[i]!;
  }
  return COHORT_ORDER.map((cohort, i) => {
    const [share, delay, seed, alive, competition, killed] = sums[i]! as unknown as [
      number,
      number,
      number,
      number,
      number,
      number,
    ];
    const mean = (sum: number) => (share === 0 ? 0 : Math.min(1, sum / share));
    return {
      cohort,
      shareFraction: share,
      meanDelayDays: share === 0 ? NaN : delay / share,
      relativeFecundity: mean(seed),
      survivalFraction: mean(alive),
      relativeCompetition: mean(competition),
      residualControlFraction: mean(killed),
    };
  });
}
