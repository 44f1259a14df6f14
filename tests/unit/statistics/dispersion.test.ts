import { describe, expect, it } from 'vitest';
import { clumpingRange, dispersionOf, fitNegativeBinomial } from '../../../shared/statistics/dispersion.ts';
import { stream } from '../../../shared/statistics/random.ts';
import { closeTo } from '../../support/close-to.ts';

const ones = (n: number) => new Array<number>(n).fill(1);

describe('dispersion', () => {
  it('refuses columns of different length', () => {
    expect(() => dispersionOf([1, 2], [1])).toThrow(/2 counts for 1/);
  });

  it('cannot be told from nothing counted or from one quadrat', () => {
    expect(dispersionOf([0, 0, 0], ones(3))).toBeNull();
    expect(dispersionOf([7], ones(1))).toBeNull();
  });

  it('of equal quadrats is the variance over the mean', () => {
    const told = dispersionOf([0, 0, 0, 12], ones(4))!;
    closeTo(told.index, 36 / 3, { within: 1e-12, because: 'rounding' });
    expect(told).toMatchObject({ degreesOfFreedom: 3, k: null });
    expect(told.because).toMatch(/only 1 quadrat with plants/);
  });

  it('says that counts vary no more than chance instead of giving a huge k', () => {
    const told = dispersionOf([2, 1, 3, 2, 2, 1, 2, 3], ones(8))!;
    expect(told.k).toBeNull();
    expect(told.because).toMatch(/no more than chance/);
    expect(told.p).toBeGreaterThan(0.5);
  });

  it('finds the k that made the counts, in quadrats of unequal size', () => {
    for (const k of [0.2, 0.8, 3]) {
      const random = stream(11, 'dispersion', k);
      const efforts = Array.from({ length: 4000 }, () => [0.25, 0.5, 1, 2][random.integer(4)]!);
      const counts = efforts.map((e) => random.poisson((e * 3 * random.gamma(k)) / k));
      const told = dispersionOf(counts, efforts)!;
      closeTo(told.k!, k, { within: 0.12 * k, because: 'about four standard errors at 4000 quadrats' });
      expect(told.p).toBeLessThan(1e-6);
      closeTo(fitNegativeBinomial(counts, efforts)!.ratePerEffort, 3, {
        within: 0.7,
        because: 'about four standard errors at k = 0.2',
      });
    }
  });

  it('holds the k that made the counts in nine of ten ranges', () => {
    const k = 0.5;
    let held = 0;
    for (let round = 0; round < 200; round++) {
      const random = stream(11, 'clumping range', round);
      const efforts = Array.from({ length: 80 }, () => [0.5, 1, 2][random.integer(3)]!);
      const counts = efforts.map((e) => random.poisson((e * 2 * random.gamma(k)) / k));
      const range = clumpingRange(counts, efforts, fitNegativeBinomial(counts, efforts)!, 0.9);
      if (range.low <= k && (range.high === null || range.high >= k)) held++;
    }
    expect(held, 'of 200: within three standard errors of 180').toBeGreaterThanOrEqual(167);
    expect(held).toBeLessThanOrEqual(193);
  });

  it('refuses a level that is none', () => {
    const fit = fitNegativeBinomial([0, 5, 0, 9], ones(4))!;
    expect(() => clumpingRange([0, 5, 0, 9], ones(4), fit, 90)).toThrow(/level between 0 and 1/);
  });

  it('does not depend on the unit of effort nor on the order', () => {
    const counts = [0, 3, 0, 8, 1, 0, 2, 5, 0, 14];
    const efforts = [1, 2, 1, 0.5, 1, 1, 2, 0.5, 1, 1];
    const one = dispersionOf(counts, efforts)!;
    const other = dispersionOf([...counts].reverse(), efforts.map((e) => e * 10.76).reverse())!;
    closeTo(other.index, one.index, { within: 1e-12, because: 'rounding' });
    closeTo(other.k!, one.k!, { within: 1e-6, because: 'a flat optimum' });
  });
});
