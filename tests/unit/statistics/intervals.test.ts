import { describe, expect, it } from 'vitest';
import {
  cleanRateBound,
  cleanShareBound,
  clopperPearsonInterval,
  jeffreysInterval,
  poissonRateInterval,
  quadratsForShare,
  wilsonInterval,
} from '../../../shared/statistics/intervals.ts';
import { closeTo } from '../../support/close-to.ts';

describe('intervals', () => {
  it('refuse more successes than trials, no trials and no effort', () => {
    for (const of of [wilsonInterval, clopperPearsonInterval, jeffreysInterval]) {
      expect(() => of(3, 2)).toThrow(/3 of 2/);
      expect(() => of(0, 0)).toThrow(/0 of 0/);
    }
    expect(() => poissonRateInterval(1, 0)).toThrow(/effort above 0/);
  });

  it('hold the share itself, mirror for the rest, and widen with the level', () => {
    for (const of of [wilsonInterval, clopperPearsonInterval, jeffreysInterval]) {
      for (const [x, n] of [
        [0, 5],
        [2, 9],
        [7, 7],
      ] as const) {
        const { low, high } = of(x, n);
        expect(low <= x / n && x / n <= high).toBe(true);
        const rest = of(n - x, n);
        closeTo(low, 1 - rest.high, { within: 1e-12, because: 'rounding' });
        expect(of(x, n, 0.5).high - of(x, n, 0.5).low).toBeLessThan(high - low);
      }
    }
  });

  it('of a rate hold it, and scale with the effort', () => {
    const { low, high } = poissonRateInterval(4, 2);
    expect(low < 2 && 2 < high).toBe(true);
    closeTo(poissonRateInterval(4, 20).high, high / 10, { within: 1e-14, because: 'rounding' });
    expect(poissonRateInterval(0, 2).low).toBe(0);
  });
});

describe('a clean round', () => {
  it('of 59 quadrats bounds the infested share at 5 %, of 299 at 1 % (methods-spatial §3.5)', () => {
    closeTo(cleanShareBound(59), 0.05, { within: 5e-4, because: '59 is the first whole number' });
    closeTo(cleanShareBound(299), 0.01, { within: 5e-5, because: '299 is the first whole number' });
    expect(quadratsForShare(0.01)).toBe(299);
  });

  it('bounds the density at 3.0 plants over what was looked at: the upper end of the 90 % interval of a count of 0', () => {
    closeTo(cleanRateBound(10), 0.3, { within: 5e-4, because: '3.0 is 2.9957 rounded' });
    closeTo(cleanRateBound(10), poissonRateInterval(0, 10, 0.9).high, {
      within: 1e-13,
      because: 'the same bound by another way',
    });
  });
});
