import { describe, expect, it } from 'vitest';
import { THRESHOLD_STEPS, stepOf, thresholdAt } from '../../../../src/places/infestation/threshold-steps.ts';
import { UNITS } from '../../../../shared/units/units.ts';

const steps = Array.from({ length: THRESHOLD_STEPS + 1 }, (_, step) => step);

describe('the steps of the threshold', () => {
  it('rise, and are numbers of two figures in the unit that is shown', () => {
    for (const [display, unit] of [
      ['us', 'per ft2'],
      ['metric', 'per m2'],
    ] as const) {
      const { factor } = UNITS[unit];
      const shown = steps.map((step) => thresholdAt(step, display) / factor);
      shown.forEach((value, at) => {
        expect(Number(value.toPrecision(2))).toBeCloseTo(value, 12);
        if (at > 0) expect(value).toBeGreaterThan(shown[at - 1]!);
      });
    }
  });

  it('are found again from the threshold, and at the ends from those beyond', () => {
    for (const step of steps) expect(stepOf(thresholdAt(step, 'metric'))).toBe(step);
    expect(stepOf(1e-9)).toBe(0);
    expect(stepOf(1e9)).toBe(THRESHOLD_STEPS);
  });
});
