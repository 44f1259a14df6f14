import { expect, test } from 'vitest';
import { weedHeight, weedName } from '../../../../src/places/telling/weed-words.ts';

test('a weed is called by its name, whether a record gives an id, a code or a word of its own', () => {
  expect(['waterhemp', 'AMATU', 'Setaria faberi', 'volunteer corn'].map(weedName)).toEqual([
    'waterhemp',
    'waterhemp',
    'giant foxtail',
    'volunteer corn',
  ]);
});

test('its height is told as a ruler shows it: inches or centimeters', () => {
  expect(weedHeight(140, 'us')).toBe('5.5 in');
  expect(weedHeight(140, 'metric')).toBe('14 cm');
});
