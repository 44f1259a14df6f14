import { describe, expect, it } from 'vitest';
import { Draws, smoothNoise, streamOf } from '../../../sample-data/draws.ts';
import { closeTo } from '../../support/close-to.ts';

const N = 40_000;

function moments(draw: () => number): { mean: number; variance: number } {
  let [sum, squares] = [0, 0];
  for (let i = 0; i < N; i++) {
    const value = draw();
    sum += value;
    squares += value * value;
  }
  const mean = sum / N;
  return { mean, variance: squares / N - mean * mean };
}

const because = 'four standard errors of 40 000 draws';

describe('counted draws', () => {
  it('are the same for the same name and others for another', () => {
    const [a, b, c] = [new Draws('a'), new Draws('a'), new Draws('b')];
    const ten = (draws: Draws) => Array.from({ length: 10 }, () => draws.share());
    const first = ten(a);
    expect(ten(b)).toEqual(first);
    expect(ten(c)).not.toEqual(first);
  });

  it('spread shares evenly and normals as they should', () => {
    const draws = new Draws('moments');
    const even = moments(() => draws.share());
    closeTo(even.mean, 0.5, { within: 0.006, because });
    closeTo(even.variance, 1 / 12, { within: 0.002, because });
    const normal = moments(() => draws.normal());
    closeTo(normal.mean, 0, { within: 0.02, because });
    closeTo(normal.variance, 1, { within: 0.03, because });
  });

  it('count with the mean asked for and the clumping asked for', () => {
    const draws = new Draws('counts');
    const [mean, k] = [2.5, 0.8];
    const plain = moments(() => draws.poisson(mean));
    closeTo(plain.mean, mean, { within: 0.032, because });
    closeTo(plain.variance, mean, { within: 0.08, because });
    const clumped = moments(() => draws.clumpedCount(mean, k));
    closeTo(clumped.mean, mean, { within: 0.065, because });
    closeTo(clumped.variance, mean + (mean * mean) / k, { within: 0.7, because });
    expect(draws.clumpedCount(0, k)).toBe(0);
  });

  it('cover whole numbers with both ends', () => {
    const draws = new Draws('whole');
    const seen = new Set(Array.from({ length: 200 }, () => draws.whole(-1, 2)));
    expect([...seen].sort((a, b) => a - b)).toEqual([-1, 0, 1, 2]);
  });

  it('make a surface without steps', () => {
    const stream = streamOf('surface');
    for (let k = 0; k < 500; k++) {
      const x = -700 + 2.7 * k;
      const step = smoothNoise(stream, x + 0.001, 13, 80) - smoothNoise(stream, x, 13, 80);
      closeTo(step, 0, { within: 1e-4, because: 'the slope of a wave of 80 m stays under 4/80 a metre' });
    }
  });
});
