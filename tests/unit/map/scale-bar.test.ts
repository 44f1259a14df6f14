import { describe, expect, it } from 'vitest';
import { scaleBar } from '../../../src/map/scale-bar.ts';

describe('the scale bar', () => {
  it('is the longest round length that fits, in the unit of the farm', () => {
    expect(scaleBar(0.1, 'metric', 120)).toEqual({ px: 100, text: '1 km' });
    expect(scaleBar(1, 'metric', 120)).toEqual({ px: 100, text: '100 m' });
    const feet = scaleBar(1, 'us', 120);
    expect(feet.text).toBe('200 ft');
    expect(feet.px).toBeCloseTo(60.96, 9);
    expect(scaleBar(0.03, 'us', 120).text).toBe('2 mi');
  });

  it('never is longer than asked, nor shorter than two fifths of it', () => {
    for (let pxPerM = 1e-4; pxPerM < 100; pxPerM *= 1.37) {
      for (const display of ['us', 'metric'] as const) {
        const { px } = scaleBar(pxPerM, display, 120);
        expect(px).toBeLessThanOrEqual(120.0001);
        // A mile after 5000 feet is the widest step.
        expect(px).toBeGreaterThan(120 * 0.37);
      }
    }
  });
});
