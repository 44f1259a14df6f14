import { expect, test } from 'vitest';
import type { FieldCells } from '../../../shared/scouting/field-cells.ts';
import { spreadOut } from '../../../shared/scouting/spread-out.ts';

/** 20 × 10 cells of 10 m. */
function field(): FieldCells {
  const cells = Array.from({ length: 200 }, (_, i) => i);
  return {
    xM: Float64Array.from(cells, (i) => 10 * (i % 20)),
    yM: Float64Array.from(cells, (i) => 10 * Math.floor(i / 20)),
    areaM2: new Float64Array(200).fill(100),
    candidates: Int32Array.from(cells),
  };
}

test('the first stands in the middle, more stand apart, and none on the edge', () => {
  const known = field();
  const [middle] = spreadOut(known, [], 1);
  expect(
    [known.xM[middle!], known.yM[middle!]].map((one) => Math.abs(one! - 92.5) < 10 || Math.abs(one! - 45) < 10),
  ).toEqual([true, true]);
  const five = spreadOut(known, [], 5);
  expect(new Set(five).size).toBe(5);
  for (const one of five) {
    expect(known.xM[one]).toBeGreaterThan(0);
    expect(known.xM[one]).toBeLessThan(190);
    for (const other of five) {
      if (one === other) continue;
      expect(Math.hypot(known.xM[one]! - known.xM[other]!, known.yM[one]! - known.yM[other]!)).toBeGreaterThan(25);
    }
  }
});

test('those chosen before count, and there are never more than candidates', () => {
  const known = { ...field(), candidates: Int32Array.of(0, 19, 199) };
  expect(spreadOut(known, [0], 2)).toEqual([199]);
  expect(spreadOut(known, [0], 9).length).toBe(2);
  expect(spreadOut(known, [0, 19], 2)).toEqual([]);
});
