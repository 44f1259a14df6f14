import { expect, test } from 'vitest';
import { counted, fewListed, listed, shortlist } from '../../../shared/units/words.ts';

test('things are counted: one alone, thousands grouped, a plural of its own where there is one', () => {
  expect(counted(0, 'field')).toBe('0 fields');
  expect(counted(1, 'patch', 'patches')).toBe('1 patch');
  expect(counted(12_345, 'patch', 'patches')).toBe('12,345 patches');
});

test('names are listed, and a long list is cut and counted', () => {
  expect(listed([])).toBe('');
  expect(listed(['a'])).toBe('a');
  expect(listed(['a', 'b'])).toBe('a and b');
  expect(listed(['a', 'b', 'c'])).toBe('a, b and c');
  expect(fewListed(['a', 'b', 'c', 'd'], 4)).toBe('a, b, c and d');
  expect(fewListed(['a', 'b', 'c', 'd'], 3)).toBe('a, b, c and 1 more');
  expect(shortlist(['a', 'b', 'c', 'd', 'e'])).toBe('a, b, c, d and e');
  expect(shortlist(['a', 'b', 'c', 'd', 'e', 'f'])).toBe('a, b, c, d and 2 more');
});
