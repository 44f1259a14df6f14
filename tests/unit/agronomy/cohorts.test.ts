import { describe, expect, it } from 'vitest';
import { cohortParameters, cropEmergenceDay, splitCohorts } from '../../../shared/agronomy/cohorts.ts';
import { lateSeedFactor } from '../../../shared/agronomy/seed-return.ts';
import { resolveParameters } from '../../../shared/agronomy/parameter.ts';
import { emergenceEscapingFraction } from '../../../shared/agronomy/cover.ts';
import { closeTo } from '../../support/close-to.ts';

const values = resolveParameters(cohortParameters('waterhemp', 'soybean'), 'central');
const of = { species: 'waterhemp', crop: 'soybean' };
/** One hundredth of the season's emergence on each of 100 days from day 100. */
const even = { firstDay: 100, cumulative: Float64Array.from({ length: 101 }, (_, i) => i / 100) };

describe('cohorts', () => {
  it('refuses a crop that emerged before it was planted, and control of another length', () => {
    expect(() => splitCohorts(even, { plantedDay: 130, cropDay: 120 }, of, values)).toThrow(/before it was planted/);
    expect(() =>
      splitCohorts(even, { plantedDay: 110, cropDay: 120, control: new Float64Array(3) }, of, values),
    ).toThrow(/100 days/);
  });

  it('splits emergence at planting and two weeks after crop emergence', () => {
    const [early, withCrop, late] = splitCohorts(even, { plantedDay: 120, cropDay: 128 }, of, values);
    expect([early!.cohort, withCrop!.cohort, late!.cohort]).toEqual(['early', 'with the crop', 'late']);
    closeTo(early!.shareFraction, 0.2, { within: 1e-12, because: 'rounding' });
    closeTo(withCrop!.shareFraction, 0.22, { within: 1e-12, because: 'rounding' });
    closeTo(late!.shareFraction, 0.58, { within: 1e-12, because: 'rounding' });
  });

  it('keeps shares adding up and every factor between 0 and 1, falling from cohort to cohort', () => {
    const cohorts = splitCohorts(even, { plantedDay: 120, cropDay: 128 }, of, values);
    closeTo(
      cohorts.reduce((sum, one) => sum + one.shareFraction, 0),
      1,
      { within: 1e-12, because: 'rounding' },
    );
    for (const key of ['relativeFecundity', 'survivalFraction', 'relativeCompetition'] as const) {
      const [a, b, c] = cohorts.map((one) => one[key]) as [number, number, number];
      expect(a <= 1 && a >= b && b > c && c >= 0).toBe(true);
    }
    expect(cohorts[0]!.relativeFecundity).toBe(1);
  });

  it('weighs the days of a cohort, not its mean day', () => {
    const late = splitCohorts(even, { plantedDay: 120, cropDay: 128 }, of, values)[2]!;
    const Cs = values['waterhemp.seedProduction.soybean.lateness']!;
    let sum = 0;
    for (let day = 142; day < 200; day++) sum += lateSeedFactor(day - 128, Cs) / 58;
    closeTo(late.relativeFecundity, sum, { within: 1e-12, because: 'rounding' });
    expect(late.relativeFecundity).toBeGreaterThan(lateSeedFactor(late.meanDelayDays, Cs));
  });

  it('lets through the residuals what the season as a whole lets through', () => {
    const control = Float64Array.from({ length: 100 }, (_, i) => (i < 40 ? 0.9 : 0.2));
    const cohorts = splitCohorts(even, { plantedDay: 120, cropDay: 128, control }, of, values);
    const escaping = cohorts.reduce((sum, one) => sum + one.shareFraction * (1 - one.residualControlFraction), 0);
    closeTo(escaping, emergenceEscapingFraction(even.cumulative, control), { within: 1e-12, because: 'rounding' });
  });

  it('gives an empty cohort no share and no delay', () => {
    const [early] = splitCohorts(even, { plantedDay: 90, cropDay: 98 }, of, values);
    expect(early).toMatchObject({ shareFraction: 0, relativeFecundity: 0, meanDelayDays: NaN });
  });

  it('takes the crop’s emergence as seen, else from planting, and says which', () => {
    expect(cropEmergenceDay(100, 109, values)).toEqual({ day: 109, basis: 'seen' });
    expect(cropEmergenceDay(100, null, values)).toEqual({ day: 108, basis: 'from planting' });
  });
});
