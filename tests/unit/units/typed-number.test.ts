import { expect, test } from 'vitest';
import { readTyped } from '../../../shared/units/typed-number.ts';

test.each([
  ['1.2', 1.2],
  [' 12 ', 12],
  ['.5', 0.5],
  ['5.', 5],
  ['18,000', 18000],
  ['1,234,567.5', 1234567.5],
  ['-3', -3],
])('%j is a number', (text, value) => {
  expect(readTyped(text)).toEqual({ is: 'number', value });
});

test.each(['1,2', '1,20', '12e3', 'one', '1.2.3', '20 fl oz', '∞', '1 2', '12,34,567'])(
  '%j is not guessed at',
  (text) => {
    expect(readTyped(text)).toEqual({ is: 'nonsense', text });
  },
);

test('nothing typed is told apart from nonsense', () => {
  expect(readTyped('  ')).toEqual({ is: 'empty' });
});
