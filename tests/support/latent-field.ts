import type { CountedPlaces } from '../../shared/statistics/latent/places.ts';
import { stream } from '../../shared/statistics/random.ts';

/** Three soft patches on 800 × 500 m (40 ha), counted in quadrats of 0.25–2 m², negative binomial with k = 0.5. */
const [WIDTH_M, HEIGHT_M, K] = [800, 500, 0.5];
const PATCHES = [
  { x: 200, y: 150, sdM: 60, peak: 8 },
  { x: 600, y: 300, sdM: 100, peak: 15 },
  { x: 400, y: 420, sdM: 30, peak: 20 },
];

export function patchyDensity(x: number, y: number): number {
  return PATCHES.reduce(
    (sum, p) => sum + p.peak * Math.exp(-((x - p.x) ** 2 + (y - p.y) ** 2) / (2 * p.sdM ** 2)),
    0.02,
  );
}

/** Places at random over the field. */
export function patchyCounts(n: number, seed = 5): CountedPlaces {
  const random = stream(seed, 'patchy counts', n);
  const numbers = () => new Float64Array(n);
  const [xM, yM, count, effortM2] = [numbers(), numbers(), numbers(), numbers()];
  for (let i = 0; i < n; i++) {
    xM[i] = WIDTH_M * random.uniform();
    yM[i] = HEIGHT_M * random.uniform();
    effortM2[i] = [0.25, 0.5, 1, 1, 2][random.integer(5)]!;
    count[i] = random.poisson((patchyDensity(xM[i]!, yM[i]!) * effortM2[i]! * random.gamma(K)) / K);
  }
  return { xM, yM, count, effortM2 };
}

/** Cells over the whole field; every other one of every other row is coarse. */
export function cellsOfField(cellM: number) {
  const [columns, rows] = [Math.floor(WIDTH_M / cellM), Math.floor(HEIGHT_M / cellM)];
  const at = (i: number): [number, number] => [i % columns, Math.floor(i / columns)];
  const all = Array.from({ length: columns * rows }, (_, i) => i);
  return {
    xM: Float64Array.from(all, (i) => (at(i)[0] + 0.5) * cellM),
    yM: Float64Array.from(all, (i) => (at(i)[1] + 0.5) * cellM),
    coarse: Int32Array.from(all.filter((i) => at(i)[0] % 2 === 0 && at(i)[1] % 2 === 0)),
  };
}
