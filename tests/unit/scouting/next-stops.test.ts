import { describe, expect, test } from 'vitest';
import { type LogDensity, nextStops, type StopWishes } from '../../../shared/scouting/next-stops.ts';
import { normalCdf } from '../../../shared/statistics/special.ts';

/** Cells on a line, 50 m apart, with an exponential covariance. */
function line(mean: readonly number[], variance = 4, rangeM = 100): LogDensity {
  const n = mean.length;
  const xM = Float64Array.from(mean, (_, i) => 50 * i);
  const covariance = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) covariance[i * n + j] = variance * Math.exp(-Math.abs(xM[i]! - xM[j]!) / rangeM);
  return {
    xM,
    yM: new Float64Array(n),
    areaM2: new Float64Array(n).fill(2500),
    mean: Float64Array.from(mean),
    covariance,
  };
}

const WISHES: StopWishes = {
  thresholdPerM2: 1,
  costOverLoss: 0.5,
  effortM2: 1,
  k: 0.5,
  candidates: Int32Array.from({ length: 9 }, (_, i) => i),
  apartM: 0,
  most: 1,
};

function stops(known: LogDensity, wishes: Partial<StopWishes> = {}) {
  const work = nextStops(known, { ...WISHES, ...wishes });
  for (;;) {
    const turn = work.next();
    if (turn.done) return turn.value;
  }
}

describe('the next stop', () => {
  test('stands where the decision is open, not where it is settled', () => {
    const [stop] = stops(line([-6, -6, -6, -6, -6, 0, 6, 6, 6]));
    expect(stop!.cell).toBe(5);
  });

  test('settles what the integral over all counts says, by a fine sum in place of nine nodes', () => {
    const known = line([-0.5, 0.3, 1.2], 2);
    const n = 3;
    const at = 1;
    const noise = 1 / Math.exp(0.3 + 2 / 2) + 1 / 0.5;
    const sdOfCount = Math.sqrt(known.covariance[at * n + at]! + noise);
    const regret = (mean: number, sd: number) => {
      const p = normalCdf(mean / sd);
      return Math.min(p, 1 - p);
    };
    let expected = 0;
    for (let u = 0; u < n; u++) {
      const move = known.covariance[at * n + u]! / sdOfCount;
      const sdAfter = Math.sqrt(known.covariance[u * n + u]! - move ** 2);
      let after = 0;
      for (let z = -8; z <= 8; z += 0.001) {
        after +=
          (0.001 * Math.exp(-(z ** 2) / 2) * regret(known.mean[u]! + move * z, sdAfter)) / Math.sqrt(2 * Math.PI);
      }
      expected += 2500 * (regret(known.mean[u]!, Math.sqrt(known.covariance[u * n + u]!)) - after);
    }
    const [stop] = stops(known, { candidates: Int32Array.of(at) });
    expect(Math.abs(stop!.settlesM2 / expected - 1)).toBeLessThan(0.05);
  });

  test('after the first, each settles no more, and none stands beside another', () => {
    const found = stops(line([0, 0, 0, 0, 0, 0, 0, 0, 0]), { most: 4, apartM: 90 });
    expect(found.length).toBe(4);
    for (let i = 1; i < 4; i++) expect(found[i]!.settlesM2).toBeLessThanOrEqual(found[i - 1]!.settlesM2);
    const cells = found.map((one) => one.cell).sort((a, b) => a - b);
    for (let i = 1; i < 4; i++) expect(cells[i]! - cells[i - 1]!).toBeGreaterThanOrEqual(2);
  });

  test('is none where nothing can change', () => {
    expect(stops(line(new Array(9).fill(-30), 0.01), { most: 3 })).toEqual([]);
  });

  test('moves with what treating costs: dear treatment opens the decision where the weed is likelier', () => {
    const known = () => line([-2, -1.5, -1, -0.5, 0, 0.5, 1, 1.5, 2]);
    const [cheap] = stops(known(), { costOverLoss: 0.1 });
    const [dear] = stops(known(), { costOverLoss: 0.9 });
    expect(dear!.cell).toBeGreaterThan(cheap!.cell);
  });

  test('refuses what does not fit', () => {
    expect(() => stops({ ...line([0, 0]), xM: new Float64Array(3) }, { candidates: Int32Array.of(0) })).toThrow(
      '2 cells',
    );
    expect(() => stops(line([0, 0]), { candidates: Int32Array.of(2) })).toThrow('no cell');
    expect(() => stops(line([0, 0]), { candidates: Int32Array.of(0), costOverLoss: 1 })).toThrow('between 0 and 1');
  });
});
