import { describe, expect, test } from 'vitest';
import { inventedLog, retrace } from '../../support/invented-log.ts';

describe('the range of the flow delay', () => {
  test('holds the delay that was planted in most logs', () => {
    const held = [1, 2, 3, 4, 5, 6, 7, 8].map((seed) => {
      const planted = 7 + (seed % 4) * 1.4;
      const { delay } = retrace(inventedLog({ seed, noise: 0.1, delayS: planted, passes: 8, passS: 120 }));
      expect(delay.decided).toBe(true);
      expect(delay.rangeS!.high - delay.rangeS!.low).toBeLessThan(4);
      return delay.rangeS!.low <= planted && planted <= delay.rangeS!.high;
    });
    expect(held.filter(Boolean).length).toBeGreaterThanOrEqual(6);
  });

  test('is that of machines in general where the log does not tell', () => {
    const { delay } = retrace(inventedLog({ passes: 1 }));
    expect(delay).toMatchObject({ decided: false, valueS: 12, rangeS: { low: 8, high: 20 } });
    expect(delay.why).toMatch(/the usual 12 s is kept \(8 to 20 s over machines\)/);
  });

  test('a delay that a person gives is used, and what the log says stands beside it', () => {
    const { delay } = retrace(inventedLog(), { delayS: 9 });
    expect(delay).toMatchObject({ valueS: 9, rangeS: null, decided: true });
    expect(delay.why).toMatch(/^given by a person; the log itself says 1[12]\.\d s$/);
    const silent = retrace(inventedLog({ passes: 1 }), { delayS: 0 });
    expect(silent.delay).toMatchObject({ valueS: 0, why: 'given by a person' });
  });
});
