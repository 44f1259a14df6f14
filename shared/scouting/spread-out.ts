/** Stops that leave the least ground far from any of them, for a field that nobody looked at yet. */
import type { FieldCells } from './field-cells.ts';

/**
 * Adds candidates to the stops chosen, each the one that leaves the smallest sum of area × squared distance to the nearest stop.
 * @returns the candidates added, in order; fewer than wanted where none is left
 * @cost wanted × candidates × cells
 */
export function spreadOut(
  { xM, yM, areaM2, candidates }: FieldCells,
  chosen: readonly number[],
  wanted: number,
): number[] {
  const cells = xM.length;
  const squaredM = (a: number, b: number) => (xM[a]! - xM[b]!) ** 2 + (yM[a]! - yM[b]!) ** 2;
  const nearest = new Float64Array(cells).fill(Infinity);
  const take = (stop: number) => {
    for (let cell = 0; cell < cells; cell++) nearest[cell] = Math.min(nearest[cell]!, squaredM(cell, stop));
  };
  chosen.forEach(take);
  const added: number[] = [];
  const left = new Set([...candidates].filter((one) => !chosen.includes(one)));
  while (chosen.length + added.length < wanted && left.size > 0) {
    let best = { stop: -1, sum: Infinity };
    for (const stop of left) {
      let sum = 0;
      for (let cell = 0; cell < cells; cell++) sum += areaM2[cell]! * Math.min(nearest[cell]!, squaredM(cell, stop));
      if (sum < best.sum) best = { stop, sum };
    }
    left.delete(best.stop);
    added.push(best.stop);
    take(best.stop);
  }
  return added;
}
