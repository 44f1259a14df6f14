/**
 * Yield of a record and of a field: mass at standard moisture over newly cut area.
 * @source methods-season §1.3; tests/reference/harvest-path (yield)
 */
import type { Grid, GridShape } from '../geometry/types.ts';

/**
 * Moisture at which a crop is traded, share of the wet mass.
 * @source US grain trade, common practice (biology.json → crops.marketMoisture, `usgrain`, memory)
 */
export const STANDARD_MOISTURE: Readonly<Record<string, number>> = { corn: 0.155, soybean: 0.13, wheat: 0.135 };

/**
 * Mass at standard moisture: dry = flow Δt (1 − m); standard = dry / (1 − m_s).
 * @param flowKgS wet mass flow
 * @param moistureFraction wet basis, 0–1
 * @returns kg
 */
export function standardMassKg(
  flowKgS: number,
  durationS: number,
  moistureFraction: number,
  standardFraction: number,
): number {
  return (flowKgS * durationS * (1 - moistureFraction)) / (1 - standardFraction);
}

/** kg/ha; NaN where no ground was newly cut. */
export function yieldKgHa(massKg: number, areaM2: number): number {
  return areaM2 > 0 ? (massKg / areaM2) * 1e4 : NaN;
}

/**
 * Yield of each cell of the field's grid: the mean over its sub-cells whose owner has a yield that counts; NaN where none has.
 * @param segment owner of each sub-cell, −1 none; `per` × `per` sub-cells a cell
 * @param usableYieldKgHa yield of each segment; NaN where it is not to be used
 * @cost O(sub-cells)
 */
export function gridYield(
  shape: GridShape,
  segment: Int32Array,
  per: number,
  usableYieldKgHa: ArrayLike<number>,
): Grid {
  const { columns, rows } = shape;
  const sums = new Float64Array(columns * rows);
  const counts = new Uint32Array(columns * rows);
  const subColumns = columns * per;
  for (let row = 0; row < rows * per; row++) {
    const base = Math.floor(row / per) * columns;
    const subBase = row * subColumns;
    for (let column = 0; column < subColumns; column++) {
      const owner = segment[subBase + column]!;
      if (owner < 0) continue;
      const value = usableYieldKgHa[owner]!;
      if (value !== value) continue;
      const cell = base + Math.floor(column / per);
      sums[cell]! += value;
      counts[cell]!++;
    }
  }
  const values = new Float32Array(columns * rows).fill(NaN);
  for (let cell = 0; cell < values.length; cell++) if (counts[cell]! > 0) values[cell] = sums[cell]! / counts[cell]!;
  return { ...shape, values };
}
