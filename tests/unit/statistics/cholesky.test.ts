import { expect, it } from 'vitest';
import {
  backwardSolve,
  factorise,
  forwardSolve,
  forwardSolveFour,
  inverseDiagonal,
} from '../../../shared/statistics/cholesky.ts';
import { stream } from '../../../shared/statistics/random.ts';
import { closeTo } from '../../support/close-to.ts';

/** G·Gᵀ + I of random G: positive definite. */
function matrix(n: number): Float64Array {
  const random = stream(2, 'cholesky', n);
  const g = Float64Array.from({ length: n * n }, () => random.normal());
  const a = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++)
      for (let k = 0; k < n; k++) a[i * n + j]! += g[i * n + k]! * g[j * n + k]! + (i === j ? 1 / n : 0);
  return a;
}

it('tells a matrix that is not positive definite', () => {
  expect(factorise(Float64Array.of(1, 2, 2, 1), 2, 2)).toBe(false);
  expect(factorise(Float64Array.of(0), 1, 1)).toBe(false);
});

it('solves systems of every size about its unrolled steps', () => {
  for (let n = 1; n <= 11; n++) {
    const a = matrix(n);
    const factor = a.slice();
    expect(factorise(factor, n, n)).toBe(true);
    const truth = Float64Array.from({ length: n }, (_, i) => i - 2.5);
    const x = truth.map((_, i) => truth.reduce((sum, t, j) => sum + a[i * n + j]! * t, 0));
    forwardSolve(factor, n, n, x);
    backwardSolve(factor, n, n, x);
    x.forEach((value, i) => closeTo(value, truth[i]!, { within: 1e-9, because: 'condition of a random matrix' }));
  }
});

it('gives the same bits in blocks as row by row', () => {
  for (let n = 1; n <= 19; n++) {
    const plain = matrix(n);
    const factor = plain.slice();
    factorise(factor, n, n);
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++) {
        let sum = plain[i * n + j]!;
        for (let k = 0; k < j; k++) sum -= plain[i * n + k]! * plain[j * n + k]!;
        plain[i * n + j] = j < i ? sum * plain[j * n + j]! : 1 / Math.sqrt(sum);
      }
    }
    expect(factor, `${n} rows`).toEqual(plain);
  }
});

it('tells it in whichever row it shows', () => {
  for (let n = 1; n <= 11; n++) {
    for (let bad = 0; bad < n; bad++) {
      const a = matrix(n);
      a[bad * n + bad] = -1;
      expect(factorise(a, n, n), `row ${bad} of ${n}`).toBe(false);
    }
  }
});

it('has the diagonal of the inverse that solving for unit vectors has', () => {
  const n = 9;
  const factor = matrix(n);
  factorise(factor, n, n);
  inverseDiagonal(factor, n).forEach((value, i) => {
    const unit = new Float64Array(n);
    unit[i] = 1;
    forwardSolve(factor, n, n, unit);
    backwardSolve(factor, n, n, unit);
    closeTo(value, unit[i]!, { within: 1e-10, because: 'condition of a random matrix' });
  });
});

it('solves four right-hand sides at once as it solves each alone', () => {
  const n = 9;
  const factor = matrix(n);
  factorise(factor, n, n);
  const four = Float64Array.from({ length: 4 * n }, (_, i) => Math.sin(i));
  const alone = [0, 1, 2, 3].map((c) => Float64Array.from({ length: n }, (_, i) => four[4 * i + c]!));
  forwardSolveFour(factor, n, n, four);
  alone.forEach((x, c) => {
    forwardSolve(factor, n, n, x);
    x.forEach((value, i) => closeTo(four[4 * i + c]!, value, { within: 1e-12, because: 'sums in another order' }));
  });
});
