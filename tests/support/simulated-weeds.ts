import { maskInside } from '../../shared/geometry/grid.ts';
import type { GridShape } from '../../shared/geometry/types.ts';
import type { RandomStream } from '../../shared/statistics/random.ts';

/**
 * Fields with a known truth, made as tests/reference/infested-area describes it (experiment.py): density = 0.02 plants/m²
 * and 3–7 Gaussian patches of sd 15–120 m with peaks of 1–25 plants/m²; counts are negative binomial in quadrats of 0.25–2 m².
 * The draws are ours: not the same fields as numpy's, the same kind.
 */
export const SIMULATED_RING = Float64Array.of(0, 0, 780, -20, 810, 420, 560, 430, 540, 790, -10, 800);
export const SIMULATED_AREA_M2 = (() => {
  let twice = 0;
  const ring = SIMULATED_RING;
  for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2)
    twice += ring[j]! * ring[i + 1]! - ring[i]! * ring[j + 1]!;
  return Math.abs(twice) / 2;
})();
export const SIMULATED_GRID: GridShape = { x0M: -20, y0M: -20, columns: 83, rows: 83, cellM: 10 };
export const SIMULATED_INSIDE = maskInside(SIMULATED_GRID, [[SIMULATED_RING]]);

export type DensityAt = (x: number, y: number) => number;

export function insideSimulatedRing(x: number, y: number): boolean {
  let inside = false;
  const ring = SIMULATED_RING;
  for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2) {
    const [x1, y1, x2, y2] = [ring[j]!, ring[j + 1]!, ring[i]!, ring[i + 1]!];
    if (y1 > y !== y2 > y && x < ((x2 - x1) * (y - y1)) / (y2 - y1) + x1) inside = !inside;
  }
  return inside;
}

export function simulateField(random: RandomStream): DensityAt {
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  const patches = Array.from({ length: 3 + random.integer(5) }, () => {
    for (;;) {
      const [x, y] = [between(-10, 810), between(-20, 800)];
      if (insideSimulatedRing(x, y))
        return { x, y, sdM: Math.exp(between(Math.log(15), Math.log(120))), peak: Math.exp(between(0, Math.log(25))) };
    }
  });
  return (x, y) =>
    patches.reduce((sum, p) => sum + p.peak * Math.exp(-((x - p.x) ** 2 + (y - p.y) ** 2) / (2 * p.sdM ** 2)), 0.02);
}

/** A jittered regular grid of n quadrats, as a scout walks. */
export function simulateScouting(random: RandomStream, densityAt: DensityAt, n: number, k: number) {
  let spacing = Math.sqrt(SIMULATED_AREA_M2 / n);
  for (;;) {
    const [ox, oy] = [spacing * random.uniform(), spacing * random.uniform()];
    const spots: [number, number][] = [];
    for (let y = -20 + oy - spacing; y < 820; y += spacing) {
      for (let x = -10 + ox - spacing; x < 830; x += spacing) {
        const spot: [number, number] = [
          x + 0.6 * spacing * (random.uniform() - 0.5),
          y + 0.6 * spacing * (random.uniform() - 0.5),
        ];
        if (insideSimulatedRing(...spot)) spots.push(spot);
      }
    }
    if (spots.length < n) {
      spacing *= 0.985;
      continue;
    }
    for (let i = 0; i < n; i++) {
      const other = i + random.integer(spots.length - i);
      [spots[i], spots[other]] = [spots[other]!, spots[i]!];
    }
    return spots.slice(0, n).map(([xM, yM]) => {
      const effortM2 = [0.25, 0.5, 1, 1, 2][random.integer(5)]!;
      const count = random.poisson((densityAt(xM, yM) * effortM2 * random.gamma(k)) / k);
      return { xM, yM, effortM2, count };
    });
  }
}
