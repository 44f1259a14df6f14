import { expect, test } from 'vitest';
import { fieldCells } from '../../../shared/scouting/field-cells.ts';

function field(columns: number, rows: number, isInside: (column: number, row: number) => boolean) {
  const inside = Uint8Array.from({ length: columns * rows }, (_, cell) =>
    isInside(cell % columns, Math.floor(cell / columns)) ? 1 : 0,
  );
  return {
    grid: { x0M: 100, y0M: -50, columns, rows, cellM: 5 },
    inside,
    cellAreaM2: Float64Array.from(inside, (one) => 25 * one),
  };
}

test('blocks are few, hold all the ground, and each stands on it', () => {
  const bent = field(200, 160, (column, row) => column < 60 || row < 50);
  const { xM, yM, areaM2, candidates } = fieldCells(bent);
  expect(areaM2.length).toBeLessThanOrEqual(400);
  expect(areaM2.length).toBeGreaterThan(150);
  const ground = bent.cellAreaM2.reduce((sum, one) => sum + one, 0);
  expect(areaM2.reduce((sum, one) => sum + one, 0)).toBeCloseTo(ground, 6);
  for (let i = 0; i < xM.length; i++) {
    const [column, row] = [Math.floor((xM[i]! - 100) / 5), Math.floor((yM[i]! + 50) / 5)];
    expect(bent.inside[row * 200 + column]).toBe(1);
  }
  expect(candidates.length).toBeGreaterThan(100);
});

test('a strip narrower than a block, and a single cell, can be visited too', () => {
  expect(fieldCells(field(900, 1, () => true)).candidates.length).toBeGreaterThan(10);
  expect(fieldCells(field(3, 3, (column, row) => column === 1 && row === 1)).candidates).toEqual(Int32Array.of(0));
});
