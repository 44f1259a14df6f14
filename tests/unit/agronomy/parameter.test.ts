import { describe, expect, it } from 'vitest';
import {
  borrowedAmong,
  hasParameter,
  parameter,
  parameterOrBorrowed,
  resolveParameter,
  resolveParameters,
  triangularQuantile,
  valueOf,
} from '../../../shared/agronomy/parameter.ts';
import { closeTo } from '../../support/close-to.ts';

const own = (parameter: string, value: number, low: number, high: number) => ({
  parameter,
  value,
  low,
  high,
  because: 'trial',
});

describe('parameter', () => {
  it('refuses an unknown id, and a value that a step did not name', () => {
    expect(hasParameter('waterhemp.yieldLoss.rice.I')).toBe(false);
    expect(() => parameter('waterhemp.yieldLoss.rice.I')).toThrow(/no parameter/);
    expect(() => resolveParameter('nothing', 'harsh')).toThrow(/no parameter/);
    expect(() => valueOf({}, 'crop.corn.marketMoisture')).toThrow(/not resolved/);
    expect(() => resolveParameter('crop.corn.marketMoisture', 'central', own('other', 1, 1, 1))).toThrow(/other/);
  });

  it('gives the value in the central case, and keeps it where no end is harsh', () => {
    expect(resolveParameter('waterhemp.yieldLoss.soybean.I', 'central')).toBe(12);
    for (const which of ['mild', 'central', 'harsh'] as const)
      expect(resolveParameter('crop.corn.marketMoisture', which)).toBe(0.155);
  });

  it('takes the quartile at the harsh end: high for loss, low for cover', () => {
    // Triangular (60, 136, 200): quartiles in closed form.
    const harsh = resolveParameter('giant-ragweed.yieldLoss.corn.I', 'harsh');
    closeTo(harsh, 200 - Math.sqrt(0.25 * 140 * 64), { within: 1e-12, because: 'closed form' });
    expect(resolveParameter('residual.pyroxasulfone.coverDays', 'harsh')).toBeLessThan(35);
    expect(resolveParameter('residual.pyroxasulfone.coverDays', 'mild')).toBeGreaterThan(35);
  });

  it('puts the farm’s own value and range in place of the published ones', () => {
    const id = 'giant-ragweed.yieldLoss.corn.I';
    const mine = own(id, 100, 80, 120);
    expect(resolveParameter(id, 'central', mine)).toBe(100);
    closeTo(resolveParameter(id, 'harsh', mine), 120 - Math.sqrt(0.25 * 40 * 20), {
      within: 1e-12,
      because: 'closed form',
    });
    const all = resolveParameters([id, 'crop.corn.marketMoisture'], 'central', [own(id, 1, 1, 1), mine]);
    expect(all).toEqual({ [id]: 100, 'crop.corn.marketMoisture': 0.155 });
  });

  it('says what was taken over, and why', () => {
    const { parameter: one, borrowed } = parameterOrBorrowed('palmer-amaranth.seedProduction.wheat.perPlant');
    expect(one.value).toBe(parameter('waterhemp.seedProduction.wheat.perPlant').value);
    expect(borrowed).toMatchObject({ from: 'waterhemp.seedProduction.wheat.perPlant' });
    expect(parameterOrBorrowed('waterhemp.yieldLoss.soybean.I').borrowed).toBeNull();
    expect(borrowedAmong(['waterhemp.yieldLoss.soybean.I', one.id])).toEqual([one]);
  });

  it('borrows the density of half effect from the yield-loss curve where no Smax is known', () => {
    const value = (path: string) => parameter(`waterhemp.${path}`).value;
    closeTo(
      value('seedProduction.cotton.maxPerArea'),
      (value('seedProduction.cotton.perPlant') * value('yieldLoss.cotton.A')) / value('yieldLoss.cotton.I'),
      { within: 1, because: 'six digits' },
    );
  });

  it('gives quartiles between low and high that rise with the share', () => {
    for (const [low, mode, high] of [
      [0, 0, 1],
      [0, 1, 1],
      [2, 3, 7],
      [5, 5, 5],
    ] as const) {
      let last: number = low;
      for (let p = 0; p <= 1; p += 0.05) {
        const q = triangularQuantile(p, low, mode, high);
        expect(q >= last - 1e-12 && q <= high).toBe(true);
        last = q;
      }
    }
    expect(() => triangularQuantile(0.5, 2, 1, 3)).toThrow(/low ≤ mode ≤ high/);
  });
});
