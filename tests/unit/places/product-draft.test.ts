import { expect, test } from 'vitest';
import type { Product } from '../../../shared/model/farm.ts';
import { draftOf, productOf } from '../../../src/places/plan/product-draft.ts';

const product: Product = {
  id: 'p',
  name: 'P',
  parts: [{ ingredient: 'S-metolachlor', group: '15', gPerUnit: 27.0746 }],
  form: 'liquid',
  unit: 'fl oz/ac',
  label: {
    full: 21,
    low: 16,
    high: 25,
    seasonMax: 42,
    bufferM: 10,
    reentryHours: 24,
    preHarvestDays: 90,
    plantBack: { corn: 0, wheat: 120 },
    latestCropStage: 'V3',
    carrierLHaMin: 93.5,
    droplet: 'coarse',
    maxWeedHeightMm: 100,
  },
  costPerUnit: 0.5,
};

test.each(['us', 'metric'] as const)('a product that is only looked at stays what it was, in %s units', (display) => {
  const read = productOf(draftOf(product, display), { display, products: [product] }, product);
  if (!('product' in read)) throw new Error(JSON.stringify(read.wrong));
  const { label, parts, ...rest } = read.product;
  const { label: before, parts: partsBefore, ...restBefore } = product;
  expect(rest).toEqual(restBefore);
  expect(parts[0]!.gPerUnit / partsBefore[0]!.gPerUnit).toBeCloseTo(1, 4);
  expect(Object.keys(label)).toEqual(Object.keys(before));
  for (const key of ['full', 'low', 'high', 'seasonMax', 'reentryHours', 'preHarvestDays', 'plantBack'] as const)
    expect(label[key]).toEqual(before[key]);
  for (const key of ['bufferM', 'carrierLHaMin', 'maxWeedHeightMm'] as const)
    expect(label[key]! / before[key]!).toBeCloseTo(1, 5);
});

test('strength as the label says it: 7.62 lb a gallon is 27 g a fl oz', () => {
  const draft = { ...draftOf(product, 'us'), parts: [{ ingredient: 'x', group: '15', strength: '7.62' }] };
  const read = productOf(draft, { display: 'us', products: [] }, null);
  // 7.62 lb × 453.59237 g / 128 fl oz
  expect('product' in read && read.product.parts[0]!.gPerUnit).toBeCloseTo((7.62 * 453.59237) / 128, 6);
});

test('what is missing or contradicts itself is told at its field, and no product is made', () => {
  const draft = draftOf(null, 'us');
  const read = productOf(
    { ...draft, full: '10', low: '12', high: '9', buffer: 'ten' },
    { display: 'us', products: [] },
    null,
  );
  expect('wrong' in read && Object.keys(read.wrong).sort()).toEqual(
    ['buffer', 'group 0', 'high', 'ingredient 0', 'low', 'name', 'strength 0'].sort(),
  );
});

test('nothing is filled in: a new product has empty rates and limits', () => {
  const { full, low, high, seasonMax, buffer, carrierMin, parts } = draftOf(null, 'us');
  expect([full, low, high, seasonMax, buffer, carrierMin, parts[0]!.strength]).toEqual(['', '', '', '', '', '', '']);
});
