import { expect, test } from 'vitest';
import type { VariogramLine } from '../../../../shared/analysis/variogram-line.ts';
import {
  chosenWords,
  crowdingWords,
  factorWords,
  leftOutFinding,
  likenessOf,
  roughDistance,
  triedRange,
} from '../../../../src/places/infestation/variogram-words.ts';

const model = { kind: 'exponential', nugget: 0.1, partialSill: 0.9, rangeM: 50 } as const;
const line = {
  model,
  noStructure: null,
  practicalRangeM: { low: 130, central: 150, high: 240 },
  rangeAtLimit: false,
  cutoffM: 300,
  tried: [{ model }, { model: { ...model, kind: 'spherical' } }, { model: { ...model, kind: 'matern32' } }],
} as unknown as VariogramLine;

test('likeness ends at the practical range, strong where the nugget is small', () => {
  expect(likenessOf(line)).toEqual({ kind: 'within', rangeM: 150, somewhat: false });
  expect(likenessOf({ ...line, model: { ...model, nugget: 0.9 } })).toMatchObject({ somewhat: true });
});

test('a range beyond the distances looked at, or not held by them, is said to lie beyond', () => {
  expect(likenessOf({ ...line, cutoffM: 140 })).toEqual({ kind: 'beyond', weak: false });
  expect(likenessOf({ ...line, rangeAtLimit: true })).toEqual({ kind: 'beyond', weak: false });
  const noisy = { ...model, nugget: 0.95, partialSill: 0.3 };
  expect(likenessOf({ ...line, rangeAtLimit: true, model: noisy })).toEqual({ kind: 'beyond', weak: true });
});

test('pure nugget is no likeness', () => {
  expect(likenessOf({ ...line, noStructure: 'hardly more alike' })).toEqual({ kind: 'none' });
  expect(likenessOf({ ...line, practicalRangeM: { low: null, central: null, high: null } })).toEqual({ kind: 'none' });
});

test('distances have two figures, in the units of the farm', () => {
  expect(roughDistance(226.5, 'us')).toBe('740 ft');
  expect(roughDistance(226.5, 'metric')).toBe('230 m');
  expect(triedRange(line, 'us')).toBe('430 to 790 feet, most likely 490');
  expect(triedRange({ ...line, practicalRangeM: { low: 150, central: 150.2, high: 150.3 } }, 'us')).toBeNull();
});

test('the chosen curve is named with those that it was chosen before', () => {
  expect(chosenWords(line)).toBe(
    'The curve is the exponential model: it foretells stops left out best, before spherical, Matérn 3/2.',
  );
});

test('the finding says how often the neighbors are right, and warns where they are not to be trusted', () => {
  const leftOut = { stops: 60, sameSide: 41, doubts: [] } as unknown as VariogramLine['leftOut'];
  expect(leftOutFinding(leftOut)).toMatch(/41 times of 60$/);
  expect(leftOutFinding({ ...leftOut, doubts: ['x'] })).toMatch(/read the map with care$/);
  expect([factorWords(3.02), factorWords(2.46), factorWords(12.3)]).toEqual([
    'a factor of 3',
    'a factor of 2.5',
    'a factor of 12',
  ]);
});

test('crowded stops are told by which way they tilt the mean', () => {
  expect(crowdingWords(1, 2)).toMatch(/too much$/);
  expect(crowdingWords(2, 1)).toMatch(/too little$/);
  expect(crowdingWords(1.2, 1)).toMatch(/does not tilt/);
  expect(crowdingWords(0, 0)).toMatch(/does not tilt/);
});
