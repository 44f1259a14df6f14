import { describe, expect, test } from 'vitest';
import { distancesFrom } from '../../../shared/harvest/ground-cells.ts';
import { stream } from '../../../shared/statistics/random.ts';

const grid = { x0M: -3, y0M: 7, columns: 23, rows: 17, cellM: 5 };

/** The definition, cell by cell. */
function byLooking(ground: Float64Array): Float64Array {
  const at = (cell: number) => [cell % grid.columns, Math.floor(cell / grid.columns)] as const;
  return ground.map((_, cell) => {
    let nearest = Infinity;
    for (let other = 0; other < ground.length; other++) {
      if (ground[other] !== 1) continue;
      const [[x, y], [u, v]] = [at(cell), at(other)];
      nearest = Math.min(nearest, Math.hypot(x - u, y - v));
    }
    return nearest * grid.cellM;
  });
}

describe('distance from ground', () => {
  test.each([0.002, 0.01, 0.1, 0.5])('is that of the nearest of its cells, where a share of %d is ground', (share) => {
    const random = stream(7, `ground ${share}`);
    const ground = Float64Array.from({ length: grid.columns * grid.rows }, () => (random.uniform() < share ? 1 : 0));
    ground[200] = 1;
    const told = distancesFrom(ground, grid);
    byLooking(ground).forEach((distanceM, cell) => expect(told[cell]).toBeCloseTo(distanceM, 9));
  });

  test('is endless where there is no ground', () => {
    const told = distancesFrom(new Float64Array(grid.columns * grid.rows), grid);
    expect([...new Set(told)]).toEqual([Infinity]);
  });
});
