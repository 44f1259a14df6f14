import { describe, expect, it } from 'vitest';
import {
  celsiusDegreeDays,
  degreeDays,
  degreeDaysAverage,
  degreeDaysModifiedAverage,
  degreeDaysSine,
  fahrenheitDegreeDays,
  hydrothermalTime,
} from '../../../shared/agronomy/degree-days.ts';
import {
  gompertzDegreeDays,
  gompertzEmergence,
  logisticDegreeDays,
  logisticEmergence,
  weibullDegreeDays,
  weibullEmergence,
} from '../../../shared/agronomy/emergence-curve.ts';
import { closeTo } from '../../support/close-to.ts';

const days = [-10, -5, 0, 5, 9, 10, 15, 25, 31, 40].flatMap((min) =>
  [0, 3, 10, 25].map((range) => [min, min + range] as const),
);

describe('degree days', () => {
  it('are never negative, and reach the same on a day wholly between base and limit', () => {
    for (const [min, max] of days) {
      const [a, m, s] = [
        degreeDaysAverage(min, max, 10, 30),
        degreeDaysModifiedAverage(min, max, 10, 30),
        degreeDaysSine(min, max, 10, 30),
      ];
      for (const one of [a, m, s]) expect(one).toBeGreaterThanOrEqual(0);
      if (min >= 10 && max <= 30) for (const one of [m, s]) closeTo(one, a, { within: 1e-12, because: 'rounding' });
      if (min < 10 && max <= 30) expect(m).toBeGreaterThanOrEqual(a);
      expect(degreeDaysSine(min, max, 10)).toBeGreaterThanOrEqual(Math.max(0, (min + max) / 2 - 10) - 1e-12);
    }
  });

  it('name their method, and the modified average asks for its limit', () => {
    expect(degreeDays('single sine', 5, 25, 10)).toBe(degreeDaysSine(5, 25, 10));
    expect(() => degreeDays('modified average', 5, 25, 10)).toThrow(/upper limit/);
  });

  it('go to Fahrenheit and back', () => {
    expect(celsiusDegreeDays(fahrenheitDegreeDays(100))).toBe(100);
    // The same day in °F has 1.8 times the degree days.
    closeTo(degreeDaysAverage(50, 86, 50), 1.8 * degreeDaysAverage(10, 30, 10), { within: 1e-12, because: 'rounding' });
  });

  it('count no hydrothermal time on a dry or a cold day', () => {
    expect(hydrothermalTime('switch', 20, -1, 10, -0.8)).toBe(0);
    expect(hydrothermalTime('product', 8, -0.1, 10, -0.8)).toBe(0);
    expect(hydrothermalTime('switch', 20, -0.1, 10, -0.8)).toBe(10);
  });
});

describe('emergence curves', () => {
  it('rise from nothing to all, and their inverses lead back', () => {
    const curves = [
      [(x: number) => logisticEmergence(x, 0.00764, 471), (p: number) => logisticDegreeDays(p, 0.00764, 471)],
      [(x: number) => weibullEmergence(x, 250, 1.6, 40), (p: number) => weibullDegreeDays(p, 250, 1.6, 40)],
      [(x: number) => gompertzEmergence(x, 8, 0.012), (p: number) => gompertzDegreeDays(p, 8, 0.012)],
    ] as const;
    for (const [share, at] of curves) {
      for (let x = 0; x < 3000; x += 50) expect(share(x + 50) >= share(x)).toBe(true);
      closeTo(share(5000), 1, { within: 1e-12, because: 'the end of the curve' });
      for (const p of [0.1, 0.5, 0.9]) closeTo(share(at(p)), p, { within: 1e-12, because: 'closed form' });
    }
    expect(logisticEmergence(-1, 0.00764, 471)).toBe(0);
    expect(weibullEmergence(40, 250, 1.6, 40)).toBe(0);
  });
});
