import { describe, expect, it } from 'vitest';
import { groundMeanPerM2 } from '../../../shared/agronomy/ground-mean.ts';
import { closeTo } from '../../support/close-to.ts';

/** 200 × 200 m in cells of 5 m. */
const grid = { columns: 40, rows: 40, cellM: 5, x0M: 0, y0M: 0 };
const field = { grid, inside: new Uint8Array(1600).fill(1) };
const cellAreaM2 = new Float64Array(1600).fill(25);
const model = { kind: 'exponential', nugget: 0.1, partialSill: 0.9, rangeM: 40 } as const;

/** Ten stops crowded in the south-west corner with 8 plants/m², one in each other corner with none. */
const crowded = [...Array.from({ length: 10 }, (_, i) => [10 + 3 * (i % 5), 10 + 4 * Math.floor(i / 5), 8])].concat([
  [190, 10, 0],
  [10, 190, 0],
  [190, 190, 0],
]);
const columns = (rows: number[][]) => ({
  xM: Float64Array.from(rows, (one) => one[0]!),
  yM: Float64Array.from(rows, (one) => one[1]!),
  densityPerM2: Float64Array.from(rows, (one) => one[2]!),
});

describe('the mean by ground', () => {
  it('of equal densities is that density', () => {
    const equal = columns(crowded.map(([x, y]) => [x!, y!, 3]));
    closeTo(groundMeanPerM2(field, cellAreaM2, equal, model)!, 3, { within: 1e-9, because: 'weights sum to 1' });
  });

  it('weighs crowded stops as the one corner that they are', () => {
    const mean = groundMeanPerM2(field, cellAreaM2, columns(crowded), model)!;
    // the plain mean is 80/13 = 6.2; four corners alike would be 2
    expect(mean).toBeGreaterThan(1.5);
    expect(mean).toBeLessThan(3);
  });

  it('without likeness is the plain mean', () => {
    const flat = { ...model, nugget: 1, partialSill: 0 };
    closeTo(groundMeanPerM2(field, cellAreaM2, columns(crowded), flat)!, 80 / 13, {
      within: 1e-9,
      because: 'all weights are equal',
    });
  });

  it('is none above 1000 places and none without ground', () => {
    const many = columns(Array.from({ length: 1001 }, (_, i) => [i % 40, Math.floor(i / 40), 1]));
    expect(groundMeanPerM2(field, cellAreaM2, many, model)).toBeNull();
    expect(groundMeanPerM2({ grid, inside: new Uint8Array(1600) }, cellAreaM2, columns(crowded), model)).toBeNull();
  });
});
