import { describe, expect, it } from 'vitest';
import { combinedControlFraction, controlFraction, controlRange, survivors } from '../../../shared/agronomy/control.ts';
import {
  patchDensityPerM2,
  RATING_DENSITIES,
  ratingMeanDensityPerM2,
} from '../../../shared/agronomy/rating-densities.ts';
import { CONTROL_RATINGS } from '../../../shared/model/farm-words.ts';
import { CASES } from '../../../shared/model/range.ts';

describe('control by rating', () => {
  it('refuses a control that is no share', () => {
    expect(() => combinedControlFraction([0.5, 1.5])).toThrow(/0–1/);
  });

  it('kills fewer in the harsh case and stays in the class’s range', () => {
    for (const rating of CONTROL_RATINGS) {
      const { low, high } = controlRange(rating);
      const [mild, central, harsh] = CASES.map((which) => controlFraction(rating, which)) as [number, number, number];
      expect(harsh <= central && central <= mild && harsh >= low && mild <= high).toBe(true);
    }
    expect(controlFraction('none', 'mild')).toBe(0);
  });

  it('has classes that meet without a hole', () => {
    const classes = (['poor', 'fair', 'good', 'excellent'] as const).map(controlRange);
    expect(classes[0]!.low).toBe(0);
    for (let i = 1; i < classes.length; i++) expect(classes[i]!.low).toBe(classes[i - 1]!.high);
  });

  it('multiplies what lives through passes, in any order', () => {
    expect(combinedControlFraction([])).toBe(0);
    expect(combinedControlFraction([0.9, 0.5])).toBe(combinedControlFraction([0.5, 0.9]));
    expect(survivors(1000, [1, 0.2])).toBe(0);
  });
});

describe('densities behind a rating', () => {
  it('rise from rating to rating and from case to case', () => {
    expect(ratingMeanDensityPerM2('not looked', 'central')).toBeNull();
    const ratings = ['none seen', 'few', 'patches', 'throughout'] as const;
    for (const which of CASES) {
      const means = ratings.map((rating) => ratingMeanDensityPerM2(rating, which)!);
      for (let i = 1; i < means.length; i++) expect(means[i]!).toBeGreaterThan(means[i - 1]!);
    }
    for (const rating of ratings) {
      const { areaFraction, densityPerM2 } = RATING_DENSITIES[rating]!;
      for (const { low, central, high } of [areaFraction, densityPerM2])
        expect(low <= central && central <= high).toBe(true);
    }
  });

  it('takes the person’s own density of a drawn patch as it is', () => {
    expect(patchDensityPerM2(4, 'harsh')).toBe(4);
    expect(patchDensityPerM2('medium', 'central')).toBe(1);
    expect(patchDensityPerM2('thick', 'harsh')).toBe(50);
  });
});
