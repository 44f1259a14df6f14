import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { densityUnder } from '../../../shared/scouting/log-density.ts';
import { nextStops } from '../../../shared/scouting/next-stops.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { run } from '../../support/run.ts';

/* Twelve candidate places beside six quadrats: latent-cases.json, key nextPlace (make-latent.py; its Monte Carlo agrees). */
const { cases, nextPlace } = JSON.parse(readFileSync(new URL('latent-cases.json', import.meta.url), 'utf8')) as {
  cases: { id: string; input: SixQuadrats }[];
  nextPlace: { expected: { candidates: { at: [number, number]; gainM2: number }[]; best: [number, number] } };
};
interface SixQuadrats {
  points: [number, number][];
  count: number[];
  effortM2: number[];
  mu: number;
  sill: number;
  rangeParameterM: number;
  k: number;
}

const { points, count, effortM2, mu, sill, rangeParameterM, k } = cases.find((one) => one.id === 'six-quadrats')!.input;
const column = (of: number) => Float64Array.from(points, (one) => one[of]!);
const stops = {
  xM: column(0),
  yM: column(1),
  count: Float64Array.from(count),
  effortM2: Float64Array.from(effortM2),
  kFactor: new Float64Array(count.length).fill(1),
};
const model = { mu, sill, k, correlation: (distanceM: number) => Math.exp(-distanceM / rangeParameterM) };

/** Cells every 20 m, x −10 to 150 and y −10 to 90; behind them the candidates, which hold no ground. */
function known() {
  const at: [number, number][] = [];
  for (let y = -10; y <= 90; y += 20) for (let x = -10; x <= 150; x += 20) at.push([x, y]);
  const cells = at.length;
  at.push(...nextPlace.expected.candidates.map((one) => one.at));
  return {
    cells,
    density: densityUnder(model, stops, {
      xM: Float64Array.from(at, ([x]) => x),
      yM: Float64Array.from(at, ([, y]) => y),
      areaM2: Float64Array.from(at, (_, i) => (i < cells ? 400 : 0)),
    }),
  };
}
const wishes = { thresholdPerM2: 1, costOverLoss: 0.5, effortM2: 1, k, apartM: 0, most: 1 };

test('each candidate settles what the second implementation says', () => {
  let largest = 0;
  nextPlace.expected.candidates.forEach(({ gainM2 }, index) => {
    const { cells, density } = known();
    const [stop] = run(nextStops(density, { ...wishes, candidates: Int32Array.of(cells + index) }));
    largest = Math.max(largest, Math.abs(stop!.settlesM2 / gainM2 - 1));
  });
  expect(largest).toBeLessThan(1e-6);
  recordAgreement('next stop', 'ground that one more stop settles', largest, 1e-6, 'relative');
});

test('the best of them is the best', () => {
  const { cells, density } = known();
  const candidates = Int32Array.from(nextPlace.expected.candidates, (_, index) => cells + index);
  const [stop] = run(nextStops(density, { ...wishes, candidates }));
  expect([density.xM[stop!.cell], density.yM[stop!.cell]]).toEqual(nextPlace.expected.best);
});
