import { expect, test } from 'vitest';
import { walkingOrder, walkLengthM } from '../../../shared/scouting/walk.ts';
import { stream } from '../../../shared/statistics/random.ts';

test('a walk begins where it was told and meets each place once', () => {
  const order = walkingOrder([0, 100, 50, 200], [0, 0, 0, 0]);
  expect(order).toEqual([0, 2, 1, 3]);
  expect(walkLengthM(order, [0, 100, 50, 200], [0, 0, 0, 0])).toBe(200);
  expect([walkingOrder([], []), walkingOrder([3], [4])]).toEqual([[], [0]]);
});

test('a walk over seven places is seldom much longer than the shortest of all', () => {
  const random = stream(7, 'walks');
  let worst = 1;
  for (let field = 0; field < 40; field++) {
    const xM = Array.from({ length: 7 }, () => 800 * random.uniform());
    const yM = Array.from({ length: 7 }, () => 400 * random.uniform());
    const shortest = Math.min(...permutations([1, 2, 3, 4, 5, 6]).map((rest) => walkLengthM([0, ...rest], xM, yM)));
    worst = Math.max(worst, walkLengthM(walkingOrder(xM, yM), xM, yM) / shortest);
  }
  expect(worst).toBeLessThan(1.25);
});

function permutations(of: readonly number[]): number[][] {
  if (of.length === 0) return [[]];
  return of.flatMap((one) => permutations(of.filter((other) => other !== one)).map((rest) => [one, ...rest]));
}
