import { describe, expect, test } from 'vitest';
import { bushelKg, fromSI, isUnit, quantityOf, toSI, UNITS } from '../../../shared/units/units.ts';
import type { UnitId } from '../../../shared/units/units.ts';
import { closeTo } from '../../support/close-to.ts';

test('every unit goes there and back', () => {
  for (const id of Object.keys(UNITS) as UnitId[]) {
    for (const value of [0, 1, -3.7, 12345.678]) {
      closeTo(fromSI(toSI(value, id), id), value, {
        within: 1e-11 * Math.max(1, Math.abs(value)),
        because: `two roundings of a double (${id})`,
      });
    }
  }
});

/** NIST Special Publication 811 (2008), appendix B.8, from memory: printed digits. */
describe('factors agree with NIST SP 811', () => {
  test.each([
    ['ft', 0.3048],
    ['in', 0.0254],
    ['yd', 0.9144],
    ['mi', 1609.344],
    ['US survey ft', 0.3048006],
    ['ac', 4046.856422],
    ['ha', 10_000],
    ['ft2', 0.09290304],
    ['yd2', 0.83612736],
    ['in2', 6.4516e-4],
    ['gal', 3.785412e-3],
    ['fl oz', 2.957353e-5],
    ['lb', 0.45359237],
    ['oz', 0.02834952],
    ['US ton', 907.1847],
    ['mph', 0.44704],
    ['km/h', 0.2777778],
    ['ft/s', 0.3048],
  ] as const)('%s', (id, factor) => {
    closeTo(toSI(1, id), factor, { within: factor * 2e-7, because: 'printed to seven figures' });
  });
});

test('temperatures: the fixed points of water', () => {
  closeTo(toSI(32, 'F'), 0, { within: 1e-13, because: 'one rounding' });
  closeTo(toSI(212, 'F'), 100, { within: 1e-13, because: 'one rounding' });
  closeTo(toSI(-40, 'F'), -40, { within: 1e-13, because: 'one rounding' });
});

/** biology.json → crops.kgHaPerBuAc: soybean 67.251069 (memory); corn is 56/60 of it. */
test('bushels an acre in kg/ha', () => {
  closeTo(toSI(1, 'bu/ac 60 lb'), 67.251069, { within: 5e-7, because: 'printed digits' });
  closeTo(toSI(1, 'bu/ac 56 lb'), (67.251069 * 56) / 60, { within: 5e-7, because: 'printed digits' });
  closeTo(bushelKg['corn']!, 25.4011727, { within: 5e-8, because: 'printed digits' });
  closeTo(bushelKg['soybean']!, 27.2155422, { within: 5e-8, because: 'printed digits' });
});

test('units of one quantity belong together', () => {
  expect(isUnit('lb/s')).toBe(true);
  expect(isUnit('furlong')).toBe(false);
  expect(isUnit('toString')).toBe(false);
  expect(quantityOf('bu/ac 56 lb')).toBe('mass per area');
  closeTo(toSI(1, 't/h') / toSI(1, 'kg/h'), 1000, { within: 1e-9, because: 'two roundings' });
  closeTo(toSI(1, 'q/ha'), 100, { within: 0, because: 'exact' });
});
