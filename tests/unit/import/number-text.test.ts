import { expect, test } from 'vitest';
import { isMissing, numberInBytes, numberOf } from '../../../shared/import/number-text.ts';

const bytesOf = (text: string) => new TextEncoder().encode(text);
const quick = (text: string, decimal: 44 | 46 = 46) => {
  const bytes = bytesOf(`x${text}y`);
  return numberInBytes(bytes, 1, bytes.length - 1, decimal);
};

test.each([
  '',
  ' ',
  '-',
  '+',
  '.',
  '-.',
  '1.2.3',
  '1e',
  'e5',
  '0x10',
  'Infinity',
  'NaN',
  '1 2',
  '1,5',
  '--1',
  '12a',
  '٣',
])('"%s" is no number', (text) => {
  expect(quick(text)).toBeNaN();
  expect(numberOf(text, 46)).toBeNaN();
});

test.each([
  '0',
  '-0.5',
  '+7',
  '.5',
  '5.',
  '007',
  '  3.25 ',
  '123456789012345',
  '-110.55338001',
  '1e3',
  '1.5E-7',
  '123456789012345678',
  '0.1234567890123456789',
  '4.35',
  '0.000001',
])('"%s" is read as the language reads it', (text) => {
  expect(quick(text)).toBe(Number(text));
  expect(numberOf(text, 46)).toBe(Number(text));
});

test('100 000 decimal texts are read to the last bit', () => {
  let state = 12345;
  const next = () => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0);
  for (let i = 0; i < 100_000; i++) {
    const text = `${next() % 2 ? '-' : ''}${next() % 100_000}.${String(next() % 10 ** (next() % 9)).padStart(next() % 9, '0')}`;
    const value = quick(text);
    if (value !== Number(text)) expect.fail(`${text}: ${value} is not ${Number(text)}`);
  }
});

test('a decimal comma takes no point and no second comma', () => {
  expect(quick('-1,5', 44)).toBe(-1.5);
  expect(quick('1.5', 44)).toBeNaN();
  expect(quick('1,2,3', 44)).toBeNaN();
  expect(quick('1,5e2', 44)).toBe(150);
});

test('what says "no value"', () => {
  for (const text of ['', 'NA', 'n/a', 'NaN', 'null', '-', '--', '.', '*', '#N/A']) expect(isMissing(text)).toBe(true);
  for (const text of ['0', '-1', 'no', 'x', '.5']) expect(isMissing(text)).toBe(false);
});
