import { describe, expect, test } from 'vitest';
import {
  formatDistance,
  formatBytes,
  formatCount,
  formatNumber,
  formatQuantity,
  formatRange,
  shownUnit,
} from '../../../shared/units/format.ts';
import { toSI, UNITS } from '../../../shared/units/units.ts';
import type { Quantity } from '../../../shared/units/units.ts';

test('what is not known is said so, in either way of showing', () => {
  expect(formatQuantity(null, 'area', 'us')).toBe('not known');
  expect(formatQuantity(NaN, 'area', 'metric')).toBe('not known');
  expect(formatRange({ low: null, central: null, high: null }, 'money', 'us')).toBe('not known');
});

describe('values as people say them', () => {
  test.each([
    [toSI(12.3, 'ac'), 'area', 'us', '12.3 ac'],
    [toSI(12.3, 'ha'), 'area', 'metric', '12.3 ha'],
    [toSI(1240, 'lb'), 'mass', 'us', '1,240 lb'],
    [4310, 'money', 'us', '$4,310'],
    [-4310, 'money', 'us', '−$4,310'],
    [12.5, 'money', 'us', '$12.50'],
    [toSI(85, 'money/ac'), 'money per area', 'us', '$85.00/ac'],
    [2.1e9, 'seed count', 'us', '2.1 billion seeds'],
    [640_000, 'seed count', 'metric', '640,000 seeds'],
    [1, 'seed count', 'us', '1 seed'],
    [0.173, 'fraction', 'us', '17%'],
    [0.0123, 'fraction', 'us', '1.2%'],
    [20, 'temperature', 'us', '68.0°F'],
    [20, 'temperature', 'metric', '20.0°C'],
    [9.144, 'length', 'us', '30.0 ft'],
    [3, 'days', 'us', '3 days'],
    [1, 'days', 'us', '1 day'],
    [0, 'area', 'us', '0 ac'],
    [2.5, 'count per area', 'metric', '2.50/m²'],
  ] as const)('%d of %s in %s is "%s"', (value, quantity, display, text) => {
    expect(formatQuantity(value, quantity, display)).toBe(text);
  });
  test('decimals on request', () => {
    expect(formatQuantity(toSI(1234.5678, 'ac'), 'area', 'us', 2)).toBe('1,234.57 ac');
  });
});

test('ranges', () => {
  const acres = (low: number, central: number, high: number) => ({
    low: toSI(low, 'ac'),
    central: toSI(central, 'ac'),
    high: toSI(high, 'ac'),
  });
  expect(formatRange(acres(12, 15, 18), 'area', 'us')).toBe('12 to 18 acres, most likely 15');
  expect(formatRange(acres(0.2, 1.5, 3.4), 'area', 'us')).toBe('0.2 to 3.4 acres, most likely 1.5');
  expect(formatRange({ low: 1000, central: 4310, high: 12_000 }, 'money', 'us')).toBe(
    '$1,000 to $12,000, most likely $4,310',
  );
  expect(formatRange({ low: 2e8, central: 9e8, high: 2.1e9 }, 'seed count', 'us')).toBe(
    '200 million to 2.1 billion seeds, most likely 900 million',
  );
  expect(formatRange(acres(15, 15, 15), 'area', 'us')).toBe('15 ac');
});

test('numbers: thousands, signs, halves away from zero, no minus zero', () => {
  expect(formatNumber(1_234_567.891, 1)).toBe('1,234,567.9');
  expect(formatNumber(-1234.5, 0)).toBe('−1,235');
  expect(formatNumber(1.005, 2)).toBe('1.01');
  expect(formatNumber(-0.4, 0)).toBe('0');
  expect(formatNumber(999.5, 0)).toBe('1,000');
  expect(formatNumber(123, 0)).toBe('123');
  expect(formatNumber(1e21, 0)).not.toContain('NaN');
  expect(formatCount(999_999)).toBe('1 million');
  expect(formatCount(1.25e12)).toBe('1.3 trillion');
});

test('every quantity has a unit of its own kind in both ways of showing', () => {
  for (const quantity of new Set(Object.values(UNITS).map((unit) => unit.quantity as Quantity))) {
    for (const display of ['us', 'metric'] as const)
      expect(UNITS[shownUnit(quantity, display)].quantity).toBe(quantity);
  }
});

test('in a range of counts a bare number says what it counts, so that it is not read as millions', () => {
  expect(formatRange({ low: 8, central: 463, high: 13.4e6 }, 'seed count', 'us')).toBe(
    '8 seeds to 13.4 million seeds, most likely 463 seeds',
  );
});

test('a way over land: short ones in feet or meters, long ones in miles or kilometers', () => {
  expect([152.4, 1609.344, 4989, 402_336].map((m) => formatDistance(m, 'us'))).toEqual([
    '500 ft',
    '1.0 mi',
    '3.1 mi',
    '250 mi',
  ]);
  expect([152.4, 1000, 4989, 402_336].map((m) => formatDistance(m, 'metric'))).toEqual([
    '152 m',
    '1.0 km',
    '5.0 km',
    '402 km',
  ]);
});

describe('sizes of files', () => {
  test('are said in bytes, kB, MB and GB of powers of ten', () => {
    expect([0, 999, 1000, 9960, 999_499, 6_259_120, 999_499_999, 2.5e9].map(formatBytes)).toEqual([
      '0 bytes',
      '999 bytes',
      '1.0 kB',
      '10 kB',
      '999 kB',
      '6.3 MB',
      '999 MB',
      '2.5 GB',
    ]);
  });
});
