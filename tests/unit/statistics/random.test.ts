import { describe, expect, it } from 'vitest';
import { philox2x32, stream } from '../../../shared/statistics/random.ts';
import { normalCdf } from '../../../shared/statistics/special.ts';
import { closeTo } from '../../support/close-to.ts';

const DRAWS = 100_000;
/** Mean and variance of many draws; the bounds below are five standard errors. */
function moments(draw: () => number): { mean: number; variance: number } {
  let [mean, squares] = [0, 0];
  for (let i = 1; i <= DRAWS; i++) {
    const x = draw();
    const apart = x - mean;
    mean += apart / i;
    squares += apart * (x - mean);
  }
  return { mean, variance: squares / (DRAWS - 1) };
}
const fiveErrors = (variance: number) => ({
  within: 5 * Math.sqrt(variance / DRAWS),
  because: 'five standard errors of the mean',
});

describe('the generator', () => {
  it('gives the known answers of Philox-2×32-10', () => {
    // published with the generator (Random123, kat_vectors; memory)
    const answers = [
      [0, 0, 0, 0xff1dae59, 0x6cd10df2],
      [0xffffffff, 0xffffffff, 0xffffffff, 0x2c3f628b, 0xab4fd7ad],
      [0x243f6a88, 0x85a308d3, 0x13198a2e, 0xdd7ce038, 0xf62a4c12],
    ] as const;
    const out = new Uint32Array(2);
    for (const [c0, c1, key, a, b] of answers) {
      philox2x32(c0, c1, key, out);
      expect([out[0], out[1]]).toEqual([a, b]);
    }
  });
});

describe('a stream', () => {
  const first = (...parts: (string | number)[]) =>
    Array.from(
      { length: 8 },
      (
        (s) => () =>
          s.bits()
      )(stream(7, ...parts)),
    );

  it('refuses a seed that is no whole number', () => {
    expect(() => stream(0.5)).toThrow(/whole number/);
    expect(() => stream(NaN)).toThrow(/whole number/);
  });

  it('gives the same draws for the same name, whatever else was drawn', () => {
    const again = stream(7, 'rank', 'north', 3);
    stream(7, 'other').normal();
    expect(Array.from({ length: 8 }, () => again.bits())).toEqual(first('rank', 'north', 3));
  });

  it('gives other draws for another name: split, kind, order and seed all count', () => {
    const streams = [
      first('ab', 'c'),
      first('a', 'bc'),
      first('abc'),
      first('1'),
      first(1),
      first('c', 'ab'),
      first(),
      first(''),
    ];
    expect(new Set(streams.map(String)).size).toBe(streams.length);
    expect(stream(8, 'a').bits()).not.toBe(stream(7, 'a').bits());
    expect(stream(7 + 2 ** 32, 'a').bits(), 'the upper half of the seed counts').not.toBe(stream(7, 'a').bits());
  });

  it('gives the same numbers on every machine and in every version', () => {
    // our own name hash, so no outside answer: other numbers here mean other draws in every study kept so far
    const s = stream(2026, 'held');
    expect(Array.from({ length: 4 }, () => s.bits())).toEqual([1092813980, 1681569737, 3031189193, 4090947474]);
  });

  it('is uniform strictly between 0 and 1, without neighbours knowing each other', () => {
    const s = stream(1, 'uniform');
    const bins = new Float64Array(100);
    let before = s.uniform();
    for (let i = 0; i < DRAWS; i++) {
      const u = s.uniform();
      expect(u > 0 && u < 1).toBe(true);
      bins[Math.floor(before * 10) * 10 + Math.floor(u * 10)]! += 1;
      before = u;
    }
    const chiSquare = bins.reduce((sum, count) => sum + (count - DRAWS / 100) ** 2 / (DRAWS / 100), 0);
    expect(chiSquare, '99 degrees of freedom: 0.1 % lie above 149').toBeLessThan(149);
  });

  it('draws whole numbers below a bound evenly', () => {
    const s = stream(1, 'integer');
    const bins = new Float64Array(7);
    for (let i = 0; i < DRAWS; i++) bins[s.integer(7)]! += 1;
    const chiSquare = bins.reduce((sum, count) => sum + (count - DRAWS / 7) ** 2 / (DRAWS / 7), 0);
    expect(chiSquare, '6 degrees of freedom: 0.1 % lie above 22.5').toBeLessThan(22.5);
  });

  it('has normals whose share below any z is Φ(z)', () => {
    const s = stream(1, 'normal');
    const { mean, variance } = moments(() => s.normal());
    closeTo(mean, 0, fiveErrors(1));
    closeTo(variance, 1, fiveErrors(2));
    for (const z of [-2, -0.5, 1]) {
      const share = moments(() => (s.normal() < z ? 1 : 0)).mean;
      closeTo(share, normalCdf(z), fiveErrors(0.25));
    }
  });

  it('has gammas with mean and variance equal to the shape, also below 1', () => {
    for (const shape of [0.2, 0.8, 1, 6]) {
      const s = stream(1, 'gamma', shape);
      const { mean, variance } = moments(() => s.gamma(shape));
      closeTo(mean, shape, fiveErrors(shape));
      closeTo(variance, shape, fiveErrors(2 * shape * shape + 6 * shape));
    }
    expect(() => stream(1).gamma(0)).toThrow(/shape above 0/);
  });

  it('has Poisson counts with mean and variance equal to the mean, on both ways of drawing', () => {
    for (const mean of [0, 0.3, 29, 31, 400]) {
      const s = stream(1, 'poisson', mean);
      const seen = moments(() => s.poisson(mean));
      closeTo(seen.mean, mean, fiveErrors(mean));
      closeTo(seen.variance, mean, fiveErrors(2 * mean * mean + mean));
    }
    expect(() => stream(1).poisson(-1)).toThrow(/not below 0/);
  });
});
