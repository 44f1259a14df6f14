import { describe, expect, it } from 'vitest';
import { empiricalVariogram } from '../../../shared/statistics/variogram.ts';
import { chooseVariogram } from '../../../shared/statistics/variogram-choice.ts';
import { fitVariogram } from '../../../shared/statistics/variogram-fit.ts';
import type { EmpiricalVariogram } from '../../../shared/statistics/variogram.ts';
import { VARIOGRAM_KINDS, practicalRangeM, semivariance } from '../../../shared/statistics/variogram-model.ts';
import { stream } from '../../../shared/statistics/random.ts';
import { closeTo } from '../../support/close-to.ts';

const flat = (...values: number[]) => Float64Array.from(values);
function scattered(n: number) {
  const random = stream(5, 'variogram test', n);
  const column = (draw: () => number) => Float64Array.from({ length: n }, draw);
  return {
    xM: column(() => 500 * random.uniform()),
    yM: column(() => 500 * random.uniform()),
    z: column(() => random.normal()),
  };
}

describe('an empirical variogram', () => {
  it('refuses columns of different length and places without extent', () => {
    expect(() => empiricalVariogram(flat(0, 1), flat(0), flat(1, 2))).toThrow(/for 2 values/);
    expect(() => empiricalVariogram(flat(3, 3), flat(1, 1), flat(1, 2))).toThrow(/must be above 0/);
  });

  it('of two places has one lag: half their squared difference at their distance', () => {
    const { pairs, distanceM, gamma } = empiricalVariogram(flat(0, 3), flat(0, 4), flat(1, 7), {
      cutoffM: 10,
      widthM: 10,
    });
    expect([pairs[0], distanceM[0], gamma[0], gamma.length]).toEqual([1, 5, 18, 1]);
  });

  it('puts a pair exactly on a lag’s end into that lag, and leaves out what lies beyond the cutoff or at one place', () => {
    const { pairs, distanceM } = empiricalVariogram(flat(0, 10, 30, 30), flat(0, 0, 0, 0), flat(1, 2, 3, 4), {
      cutoffM: 20,
      widthM: 10,
    });
    expect(Array.from(pairs)).toEqual([1, 2]);
    expect(Array.from(distanceM)).toEqual([10, 20]);
  });

  it('keeps all pairs when thin lags are joined', () => {
    const { xM, yM, z } = scattered(40);
    const all = empiricalVariogram(xM, yM, z);
    const joined = empiricalVariogram(xM, yM, z, { minPairs: 30 });
    const sum = (values: Float64Array) => values.reduce((a, b) => a + b, 0);
    expect(sum(joined.pairs)).toBe(sum(all.pairs));
    expect(Math.min(...joined.pairs)).toBeGreaterThanOrEqual(30);
    closeTo(sum(joined.gamma.map((g, i) => g * joined.pairs[i]!)), sum(all.gamma.map((g, i) => g * all.pairs[i]!)), {
      within: 1e-9,
      because: 'rounding',
    });
  });

  it('does not change when the frame is shifted', () => {
    const { xM, yM, z } = scattered(40);
    const here = empiricalVariogram(xM, yM, z);
    const there = empiricalVariogram(
      xM.map((x) => x + 4096),
      yM.map((y) => y - 8192),
      z,
    );
    expect(Array.from(there.pairs)).toEqual(Array.from(here.pairs));
    here.gamma.forEach((g, i) => closeTo(there.gamma[i]!, g, { within: 1e-9, because: 'rounding of distances' }));
  });
});

describe('a fit', () => {
  const lags = (model: Parameters<typeof semivariance>[0]): EmpiricalVariogram => {
    const distanceM = Float64Array.from({ length: 15 }, (_, i) => (i + 0.5) * 20);
    return {
      distanceM,
      pairs: new Float64Array(15).fill(50),
      gamma: distanceM.map((h) => semivariance(model, h)),
      cutoffM: 300,
      widthM: 20,
    };
  };

  it('needs three lags', () => {
    expect(
      fitVariogram(empiricalVariogram(flat(0, 3), flat(0, 4), flat(1, 7), { cutoffM: 10, widthM: 10 }), 'exponential'),
    ).toBeNull();
  });

  for (const kind of VARIOGRAM_KINDS) {
    it(`finds the ${kind} model that made the lags`, () => {
      const truth = { kind, nugget: 0.3, partialSill: 0.9, rangeM: 75 };
      const { model, rangeAtLimit } = fitVariogram(lags(truth), kind)!;
      for (const part of ['nugget', 'partialSill', 'rangeM'] as const)
        closeTo(model[part], truth[part], { within: 1e-5 * truth[part], because: 'golden section of a flat minimum' });
      expect(rangeAtLimit).toBe(false);
    });
  }

  it('of a flat variogram has only a nugget, of a steep line no negative one', () => {
    const level = {
      ...lags({ kind: 'exponential', nugget: 0, partialSill: 0, rangeM: 1 }),
      gamma: new Float64Array(15).fill(2),
    };
    const { model } = fitVariogram(level, 'spherical')!;
    closeTo(model.nugget + model.partialSill, 2, { within: 1e-9, because: 'rounding' });
    const line = { ...level, gamma: level.distanceM.map((h) => h / 100 - 0.05) };
    const steep = fitVariogram(line, 'exponential')!;
    expect(steep.model.nugget).toBe(0);
    expect(steep.rangeAtLimit).toBe(true);
  });
});

describe('the choice of a model', () => {
  it('is none where all values are equal', () => {
    const { xM, yM } = scattered(30);
    const z = new Float64Array(30).fill(1);
    expect(chooseVariogram({ xM, yM, z }, empiricalVariogram(xM, yM, z))).toBeNull();
  });

  it('has the best leave-one-out log score of all kinds', () => {
    const { xM, yM } = scattered(60);
    const z = xM.map((x, i) => Math.sin(x / 60) + Math.cos(yM[i]! / 80));
    const empirical = empiricalVariogram(xM, yM, z);
    const best = chooseVariogram({ xM, yM, z }, empirical)!;
    for (const kind of VARIOGRAM_KINDS) {
      const alone = chooseVariogram({ xM, yM, z }, empirical, [kind]);
      if (alone) expect(best.crossValidation.logScore).toBeGreaterThanOrEqual(alone.crossValidation.logScore);
    }
  });

  it('never takes a Gaussian model without a nugget', () => {
    const { xM, yM } = scattered(60);
    const z = xM.map((x) => x * x);
    expect(chooseVariogram({ xM, yM, z }, empiricalVariogram(xM, yM, z), ['gaussian'])).toBeNull();
  });
});

it('the practical range is where 95 % of the sill is reached', () => {
  for (const kind of VARIOGRAM_KINDS) {
    const model = { kind, nugget: 0, partialSill: 1, rangeM: 40 };
    closeTo(semivariance(model, practicalRangeM(model)), kind === 'spherical' ? 1 : 0.95, {
      within: 5e-4,
      because: 'factors 3, 1, 4.74, √3',
    });
  }
});
