import { factorise } from '../../shared/statistics/cholesky.ts';
import { timesFactor } from '../../shared/statistics/latent/place-geometry.ts';
import type { RandomStream } from '../../shared/statistics/random.ts';
import type { DensityAt } from './simulated-weeds.ts';
import { insideSimulatedRing, simulateField } from './simulated-weeds.ts';

/** The kinds of truth that ../shared/reference/infested-area/experiment-exact.cpp tries, and its letters for them. */
export const TRUTHS = { soft: 'G', exponential: 'L', discs: 'D', strips: 'S', 'log-Gaussian': 'F' } as const;
export type Truth = keyof typeof TRUTHS;

/** Strips stand along y. */
export const STRIP_DIRECTION = Math.PI / 2;
const BACKGROUND = 0.02;

/** A field's density as the experiment describes it; the draws are ours. */
export function simulateTruth(truth: Truth, random: RandomStream): DensityAt {
  if (truth === 'soft') return simulateField(random);
  if (truth === 'log-Gaussian') return logGaussian(random);
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  const evenInLog = (low: number, high: number): number => Math.exp(between(Math.log(low), Math.log(high)));
  const place = (): [number, number] => {
    for (;;) {
      const [x, y] = [between(-10, 810), between(-20, 800)];
      if (insideSimulatedRing(x, y)) return [x, y];
    }
  };
  const parts = Array.from({ length: truth === 'exponential' ? 3 + random.integer(5) : 4 + random.integer(6) }, () =>
    partOf[truth](place(), evenInLog, between),
  );
  return (x, y) => parts.reduce((sum, part) => sum + part(x, y), BACKGROUND);
}

type Draw = (low: number, high: number) => number;
type Part = (at: [number, number], evenInLog: Draw, between: Draw) => DensityAt;

const exponential: Part = ([cx, cy], evenInLog) => {
  const [lengthM, peak] = [evenInLog(15, 80), evenInLog(2, 40)];
  return (x, y) => peak * Math.exp(-Math.hypot(x - cx, y - cy) / lengthM);
};

const disc: Part = ([cx, cy], evenInLog) => {
  const [radiusM, height] = [evenInLog(25, 150), evenInLog(2, 25)];
  return (x, y) => ((x - cx) ** 2 + (y - cy) ** 2 < radiusM ** 2 ? height : 0);
};

/** As a combine lays seed: from a start, thinning out the way it goes. */
const strip: Part = ([cx, cy], evenInLog, between) => {
  const [widthM, peak, lengthM] = [evenInLog(10, 40), evenInLog(2, 25), between(120, 350)];
  const way = between(0, 1) < 0.5 ? -1 : 1;
  return (x, y) => {
    const along = (y - cy) * way;
    if (Math.abs(x - cx) >= widthM / 2 || along <= -20) return 0;
    return peak * Math.exp(-Math.max(0, along) / lengthM);
  };
};

const partOf: Readonly<Record<'exponential' | 'discs' | 'strips', Part>> = {
  exponential,
  discs: disc,
  strips: strip,
};

const SIDE = 36;
const CELL_M = 25;
const [X0_M, Y0_M] = [-20, -30];
/** Practical range over the parameter of Matérn 3/2. */
const PRACTICAL_OVER_A = 4.744;

/** The exponential of a Gaussian field of Matérn 3/2 correlation on a 25 m grid, bilinear in the log. */
function logGaussian(random: RandomStream): DensityAt {
  const n = SIDE * SIDE;
  const sill = Math.exp(Math.log(5) + 0.3 * random.normal());
  const rangeM = Math.exp(Math.log(250) + 0.4 * random.normal());
  const mu = -2 + 0.5 * random.normal();
  const covariance = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      const h = CELL_M * Math.hypot((i % SIDE) - (j % SIDE), Math.floor(i / SIDE) - Math.floor(j / SIDE));
      const q = (h * PRACTICAL_OVER_A) / rangeM;
      covariance[i * n + j] = sill * (1 + q) * Math.exp(-q);
    }
    covariance[i * n + i]! += 1e-5;
  }
  if (!factorise(covariance, n, n)) throw new Error(`logGaussian: no factor at s = ${sill}, range ${rangeM} m`);
  const z = Float64Array.from({ length: n }, () => random.normal());
  const field = new Float64Array(n);
  timesFactor(covariance, n, z, field);
  return (x, y) => {
    const [fx, fy] = [(x - X0_M) / CELL_M, (y - Y0_M) / CELL_M];
    const i = Math.min(SIDE - 2, Math.max(0, Math.floor(fx)));
    const j = Math.min(SIDE - 2, Math.max(0, Math.floor(fy)));
    const row = (at: number): number => field[at * SIDE + i]! * (1 - fx + i) + field[at * SIDE + i + 1]! * (fx - i);
    return Math.exp(mu + row(j) * (1 - fy + j) + row(j + 1) * (fy - j));
  };
}
