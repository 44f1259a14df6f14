import { describe, expect, test } from 'vitest';
import type { Product } from '../../../shared/model/farm.ts';
import { toSI } from '../../../shared/units/units.ts';
import { handOff, type HandOffInput } from '../../../shared/zones/hand-off.ts';
import { amountText } from '../../../shared/zones/label-rate.ts';
import { outsideInWords, positionLostInWords } from '../../../shared/zones/order-words.ts';
import { closeTo } from '../../support/close-to.ts';

const residual: Product = {
  id: 'residual',
  name: 'Residual',
  parts: [{ ingredient: 'S-metolachlor', group: '15', gPerUnit: 900 }],
  form: 'liquid',
  unit: 'L/ha',
  label: {
    full: 1.5,
    low: 1,
    high: 1.8,
    seasonMax: 2.4,
    carrierLHaMin: 100,
    bufferM: 10,
    reentryHours: 24,
    preHarvestDays: 90,
    plantBack: { corn: 30 },
  },
};
const partner: Product = {
  id: 'partner',
  name: 'Partner',
  parts: [{ ingredient: 'metribuzin', group: '5', gPerUnit: 480 }],
  form: 'liquid',
  unit: 'L/ha',
  label: { full: 1, reentryHours: 12, preHarvestDays: 100, plantBack: { corn: 120, wheat: 90 } },
};

const input: HandOffInput = {
  display: 'metric',
  field: 'West',
  crop: 'soybean',
  tolerates: ['S-metolachlor', 'metribuzin'],
  rates: [{ product: residual, ratePerArea: 1.2, unit: 'L/ha' }],
  carrierLHa: 150,
  tankL: 1000,
  sectionM: 3,
  zones: [
    { id: 'A', areaM2: 60_000 },
    { id: 'B', areaM2: 40_000 },
  ],
  outside: { areaM2: 100_000, fraction: 0 },
  positionLost: 'nothing',
  alreadyThisSeason: {},
  neighbors: [],
};

/** Codes with what caused them: "above-label rate residual". */
function refusals(change: Partial<HandOffInput>): string[] {
  const outcome = handOff({ ...input, ...change });
  expect(outcome.ok).toBe(false);
  return outcome.problems.map((one) => [one.code, one.where?.column, one.where?.id].filter(Boolean).join(' '));
}
function made(change: Partial<HandOffInput> = {}) {
  const outcome = handOff({ ...input, ...change });
  if (!outcome.ok) throw new Error(outcome.problems.map((one) => one.text).join(' '));
  return { ...outcome.value, problems: outcome.problems };
}
const typed = (product: Product, ratePerArea: number, unit: HandOffInput['rates'][number]['unit'] = 'L/ha') => ({
  product,
  ratePerArea,
  unit,
});

describe('what a hand-off is refused for stands at the field of the form that caused it', () => {
  test('no product, no zones, a product twice', () => {
    expect(refusals({ rates: [] })).toEqual(['product-missing products']);
    expect(refusals({ zones: [] })).toEqual(['zones-missing zones']);
    expect(refusals({ rates: [typed(residual, 1), typed(residual, 1)] })).toContain('product-twice rate residual');
  });
  test.each([0, -1, NaN, Infinity])('a rate of %d', (ratePerArea) => {
    expect(refusals({ rates: [typed(residual, ratePerArea)] })).toEqual(['rate-missing rate residual']);
  });
  test('a rate above the label, a unit of another kind, a volume below the label', () => {
    expect(refusals({ rates: [typed(residual, 1.81)] })).toEqual(['above-label rate residual']);
    expect(refusals({ rates: [typed(residual, 1, 'kg/ha')] })).toEqual(['rate-unit unit residual']);
    expect(refusals({ carrierLHa: 99 })).toEqual(['below-carrier volume']);
    expect(refusals({ carrierLHa: 0 })).toEqual(['volume-missing volume']);
  });
  test('a tolerance that is not stated, or not given, of any product in the tank', () => {
    expect(refusals({ tolerates: 'not stated' })).toEqual(['tolerance-not-stated tolerates residual']);
    expect(refusals({ tolerates: ['S-metolachlor'], rates: [typed(residual, 1.2), typed(partner, 1)] })).toEqual([
      'not-tolerated tolerates partner',
    ]);
  });
  test('more than the season allows, with what the field got and with the same ingredient in the tank', () => {
    expect(refusals({ alreadyThisSeason: { 'S-metolachlor': 0.81 } })).toEqual(['above-season-maximum rate residual']);
    expect(made({ alreadyThisSeason: { 'S-metolachlor': 0.79 } }).problems).toEqual([]);
    // 0.6 L/ha of a product twice as strong is 1.2 L/ha of this one: with its own 1.3 more than 2.4.
    const strong = { ...residual, id: 'strong', name: 'Strong', label: { full: 1 } };
    const twice = { ...strong, parts: [{ ...residual.parts[0]!, gPerUnit: 1800 }] };
    expect(refusals({ rates: [typed(residual, 1.3), typed(twice, 0.6)] })).toEqual([
      'above-season-maximum rate residual',
    ]);
    expect(made({ rates: [typed(residual, 1.1), typed(twice, 0.6)] }).problems).toEqual([]);
  });
  test('the same limits hold outside the zones', () => {
    expect(refusals({ outside: { areaM2: 1, fraction: 0.6 } })).toEqual([
      'below-label outside',
      'below-carrier outside',
    ]);
    expect(refusals({ outside: { areaM2: 1, fraction: 1.6 } })).toEqual(['outside-above-label outside']);
  });
});

test('a rate in another unit of the same kind is held against the label in its own', () => {
  const flOz = 1.8 / toSI(1, 'fl oz/ac');
  expect(made({ rates: [typed(residual, flOz, 'fl oz/ac')] }).problems).toEqual([]);
  expect(refusals({ rates: [typed(residual, flOz * 1.001, 'fl oz/ac')] })).toEqual(['above-label rate residual']);
});

test('below the lowest rate is told, not refused: it may be lawful and is unwise', () => {
  expect(made({ rates: [typed(residual, 0.9)] }).problems.map((one) => one.code)).toEqual(['below-label']);
});

test('a neighbor nearer than the buffer of the label is told', () => {
  const neighbors = [{ note: 'The creek.', kind: 'water', distanceM: 8, direction: 'north' }];
  const { problems } = made({ neighbors });
  expect(problems.map((one) => one.code)).toEqual(['neighbor-in-buffer']);
  expect(problems[0]!.text).toContain('8.00 m');
});

describe('several products in a tank', () => {
  const both = made({ rates: [typed(residual, 1.2), typed(partner, 0.8)] });
  test('each has its own lines, and its amounts are those of hand arithmetic', () => {
    expect(both.products.map((one) => one.product)).toEqual(['Residual', 'Partner']);
    const exact = { within: 1e-9, because: 'a product of three numbers' };
    closeTo(both.products[0]!.productTotal, 12, exact);
    closeTo(both.products[1]!.productTotal, 8, exact);
    closeTo(both.volumeL!, 1500, exact);
    expect(both.loads).toEqual({ count: 2, fullL: 1000, lastL: 500 });
    closeTo(both.products[1]!.productPerFull! + both.products[1]!.productInLast!, 8, exact);
  });
  test('the longest of each wait governs', () => {
    expect(both.governing).toEqual({
      reentryHours: 24,
      preHarvestDays: 100,
      bufferM: 10,
      plantBackDays: { corn: 120, wheat: 90 },
    });
  });
});

describe('outside the zones', () => {
  test('nothing goes out unless it is ordered, and the order says so', () => {
    const order = made();
    expect(order.areaM2).toBe(100_000);
    expect(order.products[0]!.outsideProduct).toBe(0);
    expect(outsideInWords(order)).toBe('Outside the zones the machine applies nothing.');
    expect(positionLostInWords(order)).toBe('When the position is lost it applies nothing.');
  });
  test('a share of the zones’ rate is less spray of the same mix: the loads hold one concentration', () => {
    const order = made({
      rates: [typed(residual, 1.6)],
      outside: { areaM2: 100_000, fraction: 0.7 },
      positionLost: 'outside rate',
    });
    const exact = { within: 1e-9, because: 'a product of three numbers' };
    closeTo(order.volumeL!, 10 * 150 + 10 * 150 * 0.7, exact);
    closeTo(order.products[0]!.productTotal, 10 * 1.6 + 10 * 1.6 * 0.7, exact);
    closeTo(order.products[0]!.productPerFull! / order.loads!.fullL, 1.6 / 150, exact);
    expect(outsideInWords(order)).toContain('70%');
    expect(positionLostInWords(order)).toContain('rate outside the zones');
  });
});

test('amounts are told in the unit that they are measured in, and in the one that they are carried in', () => {
  expect(amountText(2560, 'fl oz')).toBe('2,560 fl oz (20 gal)');
  expect(amountText(12.5, 'L')).toBe('12.5 L');
  expect(amountText(0.034567, 'kg')).toBe('0.0346 kg');
  expect(amountText(100, 'fl oz')).toBe('100 fl oz');
});
