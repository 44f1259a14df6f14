import { describe, expect, it } from 'vitest';
import {
  areaOfBlocks,
  densityOnDisplay,
  latentGrid,
  probabilityOnDisplay,
} from '../../../shared/agronomy/latent-grid.ts';
import { closeTo } from '../../support/close-to.ts';
import { SIMULATED_GRID, SIMULATED_INSIDE } from '../../support/simulated-weeds.ts';

const field = { grid: SIMULATED_GRID, inside: SIMULATED_INSIDE };
const sum = (values: ArrayLike<number>): number => Array.from(values).reduce((all, value) => all + value, 0);

describe('the cells of the latent model', () => {
  const latent = latentGrid(field);

  it('are at most 1500, of which at most 200 are drawn together', () => {
    expect(latent.cells.xM.length).toBeLessThanOrEqual(1500);
    expect(latent.cells.xM.length).toBeGreaterThan(1000);
    expect(latent.cells.coarse.length).toBeLessThanOrEqual(200);
    expect(latent.cells.coarse.length).toBeGreaterThan(130);
    expect(latent.block).toBe(2);
  });

  it('drawn together lie evenly: none within two cells of another, every other cell within three of one', () => {
    const { xM, yM, coarse } = latent.cells;
    const sideM = latent.block * SIMULATED_GRID.cellM;
    const nearestM = (cell: number) =>
      coarse.reduce(
        (least, other) =>
          other === cell ? least : Math.min(least, Math.hypot(xM[cell]! - xM[other]!, yM[cell]! - yM[other]!)),
        Infinity,
      );
    for (const cell of coarse) expect(nearestM(cell)).toBeGreaterThan(2 * sideM);
    const drawn = new Set(coarse);
    xM.forEach((_, cell) => drawn.has(cell) || expect(nearestM(cell)).toBeLessThan(3 * sideM));
  });

  it('hold all the area that counts, and none that does not', () => {
    const areaM2 = Float64Array.from(SIMULATED_INSIDE, (inside) => 100 * inside);
    expect(sum(areaOfBlocks(field, latent, areaM2))).toBe(sum(areaM2));
    expect(sum(areaOfBlocks(field, latent, new Float64Array(areaM2.length)))).toBe(0);
  });

  it('are the display cells themselves where these are few', () => {
    const small = { grid: { x0M: 0, y0M: 0, columns: 3, rows: 2, cellM: 5 }, inside: Uint8Array.of(1, 1, 0, 1, 1, 1) };
    const { cells, block } = latentGrid(small);
    expect(block).toBe(1);
    expect([...cells.xM]).toEqual([2.5, 7.5, 2.5, 7.5, 12.5]);
    expect([...cells.yM]).toEqual([2.5, 2.5, 7.5, 7.5, 7.5]);
    expect([...cells.coarse]).toEqual([0, 1, 2, 3, 4]);
  });

  it('of a field one column wide still have some to draw together', () => {
    const rows = 3001;
    const thin = {
      grid: { x0M: 0, y0M: 0, columns: 3, rows, cellM: 5 },
      inside: Uint8Array.from({ length: 3 * rows }, (_, i) => (i % 3 === 1 ? 1 : 0)),
    };
    const { cells } = latentGrid(thin);
    expect(cells.xM.length).toBeLessThanOrEqual(1500);
    expect(cells.coarse.length).toBeGreaterThan(100);
    expect(cells.coarse.length).toBeLessThanOrEqual(200);
  });
});

describe('back on the display', () => {
  const latent = latentGrid(field);

  it('one probability everywhere stays so inside the field, and is NaN outside', () => {
    const shown = probabilityOnDisplay(field, latent, new Float64Array(latent.cells.xM.length).fill(0.3));
    shown.forEach((p, cell) => {
      if (SIMULATED_INSIDE[cell]) closeTo(p, 0.3, { within: 1e-12, because: 'weights of one sum' });
      else expect(p).toBeNaN();
    });
  });

  it('a density that grows by a factor a metre does so between the cells too', () => {
    const shown = densityOnDisplay(
      field,
      latent,
      latent.cells.xM.map((x) => Math.exp(x / 100)),
    );
    const { columns, x0M, cellM } = SIMULATED_GRID;
    const row = 40;
    for (let column = 10; column < 40; column++) {
      const x = x0M + (column + 0.5) * cellM;
      closeTo(Math.log(shown[row * columns + column]!), x / 100, { within: 1e-12, because: 'bilinear in the log' });
    }
  });

  it('a certain probability does not spoil its neighbors', () => {
    const certain = new Float64Array(latent.cells.xM.length).fill(1);
    certain[500] = 0;
    const shown = probabilityOnDisplay(field, latent, certain).filter((p) => !Number.isNaN(p));
    expect(shown.every((p) => p >= 0 && p <= 1)).toBe(true);
    expect(shown.some((p) => p < 0.5)).toBe(true);
  });
});
