import { describe, expect, it } from 'vitest';
import {
  areaPerTankM2,
  flowLMin,
  productPerLoad,
  productTotal,
  sprayVolumeL,
  tankLoads,
  volumeFromFlowLHa,
  workRateHaH,
} from '../../../shared/agronomy/spraying.ts';
import { closeTo } from '../../support/close-to.ts';

const rounding = { within: 1e-9, because: 'rounding' };

describe('spraying', () => {
  it('refuses a tank that holds nothing and a volume that is none', () => {
    expect(() => tankLoads(100, 0)).toThrow(/tank/);
    expect(() => tankLoads(NaN, 100)).toThrow(/volume/);
  });

  it('fills the tank and leaves the rest to the last load', () => {
    expect(tankLoads(2500, 1000)).toEqual({ loads: 3, fullL: 1000, lastL: 500 });
    expect(tankLoads(800, 1000)).toEqual({ loads: 1, fullL: 0, lastL: 800 });
    expect(tankLoads(0, 1000)).toEqual({ loads: 0, fullL: 0, lastL: 0 });
  });

  it('does not send a machine back for a rounding error', () => {
    // 30 ha × 0.1 L/m² … 0.1 × 3 is a hair over 0.3: still three loads.
    const { loads, lastL } = tankLoads(0.1 * 3, 0.1);
    expect(loads).toBe(3);
    closeTo(lastL, 0.1, rounding);
    expect(tankLoads(3000.1, 1000).loads).toBe(4);
  });

  it('keeps volume, loads and product in step', () => {
    for (const areaM2 of [1, 12_345, 647_497.03]) {
      const volume = sprayVolumeL(areaM2, 140);
      const { loads, fullL, lastL } = tankLoads(volume, 1135);
      closeTo((loads - 1) * fullL + lastL, volume, rounding);
      const product = (loads - 1) * productPerLoad(fullL, 140, 1.2) + productPerLoad(lastL, 140, 1.2);
      closeTo(product, productTotal(areaM2, 1.2), rounding);
    }
    closeTo(sprayVolumeL(areaPerTankM2(1135, 140), 140), 1135, rounding);
  });

  it('goes from volume to flow and back', () => {
    closeTo(volumeFromFlowLHa(flowLMin(140, 5.4, 30), 5.4, 30), 140, rounding);
    closeTo(workRateHaH(5, 30, 1), (5 * 3600 * 30) / 10_000, rounding);
  });
});
