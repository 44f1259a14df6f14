import type { Block } from '../../shared/statistics/kriging-block.ts';

/** A square block as so many by so many equal cells. @param sideM above 0 */
export function squareBlock(sideM: number, perSide = 4): Block {
  const points = perSide * perSide;
  const off = (step: number) => (step - (perSide - 1) / 2) * (sideM / perSide);
  return {
    dxM: Float64Array.from({ length: points }, (_, i) => off(i % perSide)),
    dyM: Float64Array.from({ length: points }, (_, i) => off(Math.floor(i / perSide))),
    weight: new Float64Array(points).fill(1 / points),
  };
}
