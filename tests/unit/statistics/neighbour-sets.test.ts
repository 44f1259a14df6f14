import { describe, expect, it } from 'vitest';
import { indexPoints } from '../../../shared/geometry/point-index.ts';
import { neighbourSets } from '../../../shared/statistics/neighbour-sets.ts';
import { stream } from '../../../shared/statistics/random.ts';

const random = stream(7, 'neighbour sets');
const column = (length: number, value: (i: number) => number) => Float64Array.from({ length }, (_, i) => value(i));
const scattered = { xM: column(300, () => 500 * random.uniform()), yM: column(300, () => 500 * random.uniform()) };
/** A regular grid, whose distances tie. */
const regular = { xM: column(400, (i) => 20 * (i % 20)), yM: column(400, (i) => 20 * Math.floor(i / 20)) };
const rows = { x: column(900, (i) => 17 * (i % 30)), y: column(900, (i) => 17 * Math.floor(i / 30)) };
const jumping = {
  x: column(60, () => 900 * random.uniform() - 200),
  y: column(60, () => 900 * random.uniform() - 200),
};

function allSets(places: typeof scattered, targets: typeof rows, k: number): number[][] {
  const sets = neighbourSets(indexPoints(places.xM, places.yM), places.xM, places.yM, k);
  const out = new Int32Array(k);
  return Array.from(targets.x, (_, t) =>
    Array.from(out.subarray(0, sets(targets.x, targets.y, t, targets.x.length, out))),
  );
}
function oneByOne(places: typeof scattered, targets: typeof rows, k: number): number[][] {
  const index = indexPoints(places.xM, places.yM);
  const out = new Int32Array(k);
  return Array.from(targets.x, (x, t) =>
    Array.from(out.subarray(0, index.nearest(x, targets.y[t]!, k, out))).sort((a, b) => a - b),
  );
}

describe('neighbor sets', () => {
  it.each([
    ['scattered places, cells of a grid', scattered, rows, 16],
    ['places of a grid, whose distances tie', regular, rows, 16],
    ['places of a grid on which the targets lie', regular, { x: regular.xM, y: regular.yM }, 9],
    ['targets that jump about, also outside', scattered, jumping, 16],
    ['a single neighbor', scattered, rows, 1],
    ['more neighbors than places', { xM: column(5, (i) => i), yM: column(5, (i) => i % 2) }, jumping, 8],
    ['targets all at one place', scattered, { x: column(30, () => 40), y: column(30, () => 50) }, 4],
    ['places all at one place', { xM: column(6, () => 3), yM: column(6, () => 3) }, rows, 4],
  ])('are those of the index, ascending: %s', (_what, places, targets, k) => {
    expect(allSets(places, targets, k)).toEqual(oneByOne(places, targets, k));
  });

  it('do not depend on where the asking begins', () => {
    const sets = neighbourSets(indexPoints(scattered.xM, scattered.yM), scattered.xM, scattered.yM, 16);
    const out = new Int32Array(16);
    const expected = oneByOne(scattered, rows, 16);
    for (const t of [5, 700, 6, 6, 899, 0, 13]) {
      const count = sets(rows.x, rows.y, t, 900, out);
      expect(Array.from(out.subarray(0, count))).toEqual(expected[t]);
    }
  });
});
