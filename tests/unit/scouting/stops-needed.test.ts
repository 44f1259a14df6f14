import { expect, test } from 'vitest';
import { relativeErrorOf, stopsNeeded } from '../../../shared/scouting/stops-needed.ts';
import { negativeBinomialQuantile } from '../../../shared/statistics/negative-binomial.ts';
import { stream } from '../../../shared/statistics/random.ts';

// Elliott 1977 (from memory): n = (1/m + 1/k)/D²; by hand: (1/2 + 1/0.5)/0.25² = 40.
test('stops for a wanted precision, by the formula of the handbook', () => {
  expect(stopsNeeded(2, 0.5, 0.25)).toBe(40);
  expect(stopsNeeded(4, Infinity, 0.25)).toBe(4);
  expect(stopsNeeded(1000, 1000, 0.5)).toBe(1);
  expect(relativeErrorOf(40, 2, 0.5)).toBeCloseTo(0.25, 12);
  expect(() => stopsNeeded(0, 1, 0.2)).toThrow('above 0');
});

test('so many counts give a mean whose error is the one that was asked for', () => {
  const random = stream(11, 'precision');
  const [mean, k, wanted] = [3, 0.8, 0.2];
  const stops = stopsNeeded(mean, k, wanted);
  const means = Array.from({ length: 1500 }, () => {
    let sum = 0;
    for (let i = 0; i < stops; i++) sum += negativeBinomialQuantile(random.uniform(), mean, k);
    return sum / stops;
  });
  const centre = means.reduce((a, b) => a + b) / means.length;
  const sd = Math.sqrt(means.reduce((sum, one) => sum + (one - centre) ** 2, 0) / (means.length - 1));
  // The standard error of a standard deviation of 1500 is 1.8 %.
  expect(Math.abs(sd / mean / wanted - 1)).toBeLessThan(0.07);
});
