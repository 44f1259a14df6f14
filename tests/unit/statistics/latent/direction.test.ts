import { describe, expect, it } from 'vitest';
import { latentChain, rangeGeometries } from '../../../../shared/statistics/latent/chain.ts';
import { matern52 } from '../../../../shared/statistics/latent/matern.ts';
import type { CountedPlaces } from '../../../../shared/statistics/latent/places.ts';
import { correlationIndex, RANGES_M, rangeOf, RATIOS, ratioOf } from '../../../../shared/statistics/latent/priors.ts';
import { stream } from '../../../../shared/statistics/random.ts';
import { closeTo } from '../../../support/close-to.ts';
import { cellsOfField, patchyCounts } from '../../../support/latent-field.ts';
import { run } from '../../../support/run.ts';

const cells = cellsOfField(100);
const north = Math.PI / 2;
const two = (x: number, y: number): CountedPlaces => ({
  xM: Float64Array.of(0, x),
  yM: Float64Array.of(0, y),
  count: Float64Array.of(1, 0),
  effortM2: Float64Array.of(1, 1),
});
/** Correlation of two places so far apart. */
const between = (x: number, y: number, index: number, direction?: number): number =>
  rangeGeometries({ places: two(x, y), cells, ...(direction === undefined ? {} : { direction }) }).ofPlaces(index)
    .correlation[1]!;
const because = 'a turn and its sines';

describe('the direction of the path', () => {
  it('makes likeness reach as far as ever along it, and a ratio less far across it', () => {
    for (const [at, ratio] of RATIOS.entries()) {
      const index = correlationIndex(7, at);
      closeTo(between(0, 80, index, north), matern52(80, RANGES_M[7]!), { within: 1e-12, because });
      closeTo(between(80, 0, index, north), matern52(80 * ratio, RANGES_M[7]!), { within: 1e-12, because });
    }
  });

  it('turns with the field, and is the same to and fro', () => {
    const index = correlationIndex(8, 2);
    const turn = 0.6;
    const [x, y] = [70, 40];
    const turned = [Math.cos(turn) * x - Math.sin(turn) * y, Math.sin(turn) * x + Math.cos(turn) * y] as const;
    closeTo(between(...turned, index, north + turn), between(x, y, index, north), { within: 1e-12, because });
    closeTo(between(x, y, index, north + Math.PI), between(x, y, index, north), { within: 1e-12, because });
  });

  it('stretches the cells as it stretches the places', () => {
    const places = patchyCounts(12);
    const index = correlationIndex(9, 3);
    const geometries = rangeGeometries({ places, cells, direction: 0.4 });
    const { cross } = geometries.ofCells(index);
    const { xM, yM } = geometries.places;
    const [c, s] = [Math.cos(0.4), Math.sin(0.4)];
    for (const [cell, place] of [
      [0, 0],
      [7, 5],
      [30, 11],
    ] as const) {
      const [dx, dy] = [cells.xM[cell]! - xM[place]!, cells.yM[cell]! - yM[place]!];
      const h = Math.hypot(c * dx + s * dy, RATIOS[3] * (c * dy - s * dx));
      closeTo(cross[cell * 12 + place]!, matern52(h, RANGES_M[9]!), { within: 1e-12, because });
    }
  });

  it('that is not given leaves ratio 1 alone, with the very numbers of the places as they lie', () => {
    const input = { places: patchyCounts(20), cells };
    const chain = run(latentChain(input, { seed: 1, chain: 0, burnIn: 20, sweeps: 50 }));
    expect(chain.variance.length).toBe(RANGES_M.length * cells.xM.length);
    expect(chain.rangeIndex.every((index) => ratioOf(index) === 0)).toBe(true);
    const [plain, along] = [rangeGeometries(input), rangeGeometries({ ...input, direction: 1 })];
    expect(along.ofCells(6)).toEqual(plain.ofCells(6));
  });

  it('is refused where it is no number', () => {
    const input = { places: patchyCounts(20), cells, direction: NaN };
    expect(() => latentChain(input, { seed: 1, chain: 0 }).next()).toThrow(/direction in radians/);
  });
});

describe('what the counts say of the ratio', () => {
  it('is nothing where there is one place: ranges and ratios then come as the prior has them', () => {
    const one = {
      xM: Float64Array.of(0),
      yM: Float64Array.of(0),
      count: Float64Array.of(2),
      effortM2: Float64Array.of(1),
    };
    const single = { xM: Float64Array.of(5), yM: Float64Array.of(5), coarse: Int32Array.of(0) };
    const input = { places: one, cells: single, direction: 1 };
    const { rangeIndex } = run(latentChain(input, { seed: 1, chain: 0, sweeps: 60_000 }));
    const share = (has: (index: number) => boolean): number => rangeIndex.filter(has).length / rangeIndex.length;
    const monteCarlo = '12 000 draws that hang together';
    [8, 4, 2, 1].forEach((weight, ratio) =>
      closeTo(
        share((index) => ratioOf(index) === ratio),
        weight / 15,
        { within: 0.03, because: monteCarlo },
      ),
    );
    const weights = RANGES_M.map((rangeM) => Math.exp(-0.5 * (Math.log(rangeM / 200) / 0.8) ** 2));
    const all = weights.reduce((sum, weight) => sum + weight, 0);
    weights.forEach((weight, range) =>
      closeTo(
        share((index) => rangeOf(index) === range),
        weight / all,
        { within: 0.03, because: monteCarlo },
      ),
    );
  });

  it('is that strips are long along the path, and not across it', () => {
    const random = stream(8, 'two strips');
    const n = 150;
    const xM = Float64Array.from({ length: n }, () => 800 * random.uniform());
    const yM = Float64Array.from({ length: n }, () => 500 * random.uniform());
    const count = xM.map((x) => random.poisson(Math.abs(x - 200) < 20 || Math.abs(x - 550) < 20 ? 8 : 0.02));
    const places = { xM, yM, count, effortM2: new Float64Array(n).fill(1) };
    const meanLogRatio = (direction: number): number => {
      const chain = run(latentChain({ places, cells, direction }, { seed: 1, chain: 0, burnIn: 100, sweeps: 200 }));
      return chain.rangeIndex.reduce((sum, index) => sum + Math.log(RATIOS[ratioOf(index)]!), 0) / chain.kept;
    };
    expect(meanLogRatio(north)).toBeGreaterThan(Math.log(4));
    expect(meanLogRatio(0)).toBeLessThan(Math.log(2));
  });

  it('runs on from where it stood', () => {
    const input = { places: patchyCounts(20), cells, direction: 1 };
    const options = { seed: 1, chain: 0, burnIn: 10, sweeps: 20 };
    const first = run(latentChain(input, options));
    const on = run(latentChain(input, { ...options, from: first }));
    expect(on.rangeIndex.slice(0, 4)).toEqual(first.rangeIndex);
    expect(on.kept).toBe(8);
  });
});
