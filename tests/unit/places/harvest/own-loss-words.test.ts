import { expect, test } from 'vitest';
import {
  ceilingWords,
  densityWords,
  type FittedLine,
  leftOutWords,
  literatureYieldAt,
  lossWords,
  ownYieldAt,
  slopeWords,
  yieldUnit,
} from '../../../../src/places/harvest/own-loss-words.ts';

const line = {
  curve: { weedFreeKgHa: 4000, I: 10, A: 50 },
  ceilingFrom: 'records',
  interval80: { I: { low: 5, high: 20 }, A: { low: 40, high: 70 } },
  literature: { curve: { I: 20, A: 50 }, lossFraction: { low: 0.1, central: 0.2, high: 0.3 } },
} as unknown as FittedLine;
const open = { ...line, interval80: { I: { low: 5, high: null }, A: { low: 40, high: null } } };

test('an open end is said, never given a number', () => {
  expect(lossWords({ low: 0.02, central: 0.1, high: 0.2 }, 'us')).toBe('2 to 20%, most likely 10');
  expect(lossWords({ low: 0.02, central: 0.1, high: null }, 'us')).toMatch(/^10(\.0)?%, without an upper end$/);
  expect(slopeWords(open, 'metric')).toBe(
    'at least 5.0% of the yield for each plant in 1 m²; the records hold no upper end',
  );
  expect(ceilingWords(open)).toBe('at least 40% by the records, which hold no upper end, most likely 50%');
});

test('the slope is told for a plant in 100 ft² or in 1 m², as the farm counts', () => {
  expect(slopeWords(line, 'metric')).toBe('5.0 to 20% of the yield for each plant in 1 m², most likely 10');
  // One plant in 100 ft² is 0.10764 plants/m².
  expect(slopeWords(line, 'us')).toBe('0.5 to 2.2% of the yield for each plant in 100 ft², most likely 1.1');
});

test('a ceiling that the records do not hold is said to be the literature’s', () => {
  const kept = { ...open, ceilingFrom: 'literature' } as FittedLine;
  expect(ceilingWords(kept)).toBe(
    '50%, kept from the literature; at least 40% by the records, which hold no upper end',
  );
  const none = { ...kept, interval80: { ...kept.interval80, A: { low: null, high: null } } };
  expect(ceilingWords(none)).toBe('50%, kept from the literature; not held by the records');
});

test('a usual density has two figures', () => {
  expect(densityWords(8.5, 'us')).toBe('0.79/ft²');
  expect(densityWords(8.53, 'metric')).toBe('8.5/m²');
});

test('both curves begin at the field’s own yield without weeds', () => {
  expect(ownYieldAt(line, 0)).toBe(4000);
  expect(literatureYieldAt(line, 0)).toBe(4000);
  expect(ownYieldAt(line, 5)).toBe(3000);
  expect(literatureYieldAt(line, 5)).toBeCloseTo(4000 * (1 - 1 / 3), 9);
});

test('yield is in bushels where the crop is sold so and the farm counts so', () => {
  expect(yieldUnit('soybean', 'us').name).toBe('bu/ac');
  expect(yieldUnit('soybean', 'us').shown(67.2511)).toBeCloseTo(1, 4);
  expect(yieldUnit('soybean', 'metric').name).toBe('kg/ha');
});

test('places that are no pair are counted by why', () => {
  expect(leftOutWords({ notCounted: 0, notEveryWeed: 0, noYield: 0 })).toBeNull();
  expect(leftOutWords({ notCounted: 2, notEveryWeed: 0, noYield: 1 })).toBe(
    'Left out: 2 without a full count, 1 without a clean yield nearby.',
  );
});
