import { expect, it } from 'vitest';
import { moranIndex, moranTest, nearestNeighbourhood } from '../../../shared/statistics/moran.ts';
import { stream } from '../../../shared/statistics/random.ts';

const xM = Float64Array.from({ length: 100 }, (_, i) => (i % 10) + 1e-3 * ((i * i) % 7));
const yM = Float64Array.from({ length: 100 }, (_, i) => Math.floor(i / 10));
const near = nearestNeighbourhood(xM, yM, 4);

it('refuses as many neighbours as there are places', () => {
  expect(() => nearestNeighbourhood(xM.subarray(0, 4), yM.subarray(0, 4), 4)).toThrow(/1 … 3 neighbours/);
});

it('no place is its own neighbour, and each has k', () => {
  for (let i = 0; i < 100; i++) {
    const ids = near.ids.subarray(near.starts[i]!, near.starts[i + 1]!);
    expect(ids.length).toBe(4);
    expect(ids.includes(i)).toBe(false);
  }
});

it('a slope is patchy, a chessboard the opposite, noise neither', () => {
  const slope = moranTest(xM, near);
  expect(slope.index).toBeGreaterThan(0.5);
  expect(slope.highP).toBe(0.001);
  const board = moranTest(
    xM.map((_, i) => ((i % 10) + Math.floor(i / 10)) % 2),
    near,
  );
  expect(board.index).toBeLessThan(-0.5);
  expect(board.lowP).toBe(0.001);
  const random = stream(2, 'moran test');
  const noise = moranTest(
    xM.map(() => random.normal()),
    near,
  );
  expect(noise.highP > 0.05 && noise.lowP > 0.05).toBe(true);
});

it('equal values have no index', () => {
  expect(moranIndex(new Float64Array(100).fill(3), near)).toBeNaN();
});

it('does not change when values are shifted and scaled', () => {
  expect(
    moranIndex(
      xM.map((x) => 40 - 8 * x),
      near,
    ),
  ).toBeCloseTo(moranIndex(xM, near), 12);
});
