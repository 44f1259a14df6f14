import { describe, expect, test } from 'vitest';
import { alongAxis, bankAxis } from '../../../src/places/plan/bank-axis.ts';
import {
  changesBetween,
  curveFinding,
  exhaustionInWords,
  exhaustionOf,
  trendOf,
} from '../../../src/places/plan/plan-words.ts';

const range = (low: number, central: number, high: number) => ({ low, central, high });
const unknown = { low: null, central: null, high: null };

describe('where a bank goes', () => {
  test('is said only where every end of the range agrees', () => {
    expect(trendOf([range(10, 20, 30), range(1, 2, 3)])).toBe('falls');
    expect(trendOf([range(10, 20, 30), range(11, 22, 33)])).toBe('grows');
    expect(trendOf([range(10, 20, 30), range(1, 22, 33)])).toBe('may fall or grow');
    expect(trendOf([range(0, 0, 0), range(0, 0, 0)])).toBe('stays at nothing');
    expect(trendOf([unknown])).toBe('not known');
  });
  test('a hundredth is waited for by each end of the range alone', () => {
    const banks = [range(100, 100, 100), range(1, 50, 200), range(0.5, 1, 300)];
    expect(exhaustionOf(banks)).toEqual({ soonest: 1, likely: 2, latest: null });
    expect(exhaustionInWords(banks, 2027)).toBe('down to a hundredth in 2028 at the soonest, most likely 2029');
    expect(exhaustionInWords([range(1, 1, 1), range(1, 1, 1)], 2027)).toBe('not down to a hundredth by 2028');
  });
});

test('two sets differ where their programs do; a field left out goes on as now', () => {
  expect(changesBetween({ a: 'one', b: 'two' }, { a: 'one', c: 'one' })).toEqual([
    { field: 'b', from: 'two', to: 'as-now' },
    { field: 'c', from: 'as-now', to: 'one' },
  ]);
});

test('the finding of the curve: where half of it all is gained, and from where more buys nothing', () => {
  const point = (budget: number, gain: number) => ({
    budget,
    leastBudget: 0,
    best: { spentPerYear: budget, gain: range(0, gain, gain), bound: gain, gap: 0, exact: true, programs: {} },
  });
  const points = [point(0, 0), point(1000, 60), point(2000, 90), point(3000, 100), point(4000, 100)];
  expect(curveFinding(points, 'us')).toMatch(/\$1,000.*half.*\$3,000/);
  expect(curveFinding([point(0, 0), point(1000, 0)], 'us')).toBeNull();
});

test('one axis for all programs: whole decades in the unit shown, at most eight, its foot for what is less', () => {
  const axis = bankAxis([[range(0.02, 5, 900)], [range(3, 5, 20_000)]], 'metric')!;
  expect(axis).toMatchObject({ from: -2, to: 5, springs: 1, unit: 'seeds per m²' });
  expect(alongAxis(axis, 0)).toBe(0);
  expect(alongAxis(axis, 1e5)).toBe(1);
  expect(alongAxis(axis, 10 ** 1.5)).toBeCloseTo(0.5, 12);
  const us = bankAxis([[range(1, 5, 900)]], 'us')!;
  expect(us.factor).toBeCloseTo(0.09290304, 12);
  expect(bankAxis([[unknown]], 'us')).toBeNull();
});
