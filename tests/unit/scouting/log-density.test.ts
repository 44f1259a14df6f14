import { describe, expect, test } from 'vitest';
import { logDensity, WORKING_MODEL } from '../../../shared/scouting/log-density.ts';
import type { CountedPlaces } from '../../../shared/statistics/latent/places.ts';

const cells = (...xM: number[]) => ({
  xM: Float64Array.from(xM),
  yM: new Float64Array(xM.length),
  areaM2: new Float64Array(xM.length).fill(400),
});
const stops = (...rows: readonly [xM: number, count: number, effortM2: number][]): CountedPlaces => ({
  xM: Float64Array.from(rows, ([x]) => x),
  yM: new Float64Array(rows.length),
  count: Float64Array.from(rows, ([, count]) => count),
  effortM2: Float64Array.from(rows, ([, , effort]) => effort),
});
const PRIOR = WORKING_MODEL.sill + WORKING_MODEL.meanSd ** 2;

describe('the working picture of log density', () => {
  test('without a stop is the prior, everywhere', () => {
    const { mean, covariance } = logDensity(stops(), cells(0, 500), -3);
    expect([...mean]).toEqual([-3, -3]);
    expect(covariance[0]).toBe(PRIOR);
    expect(covariance[1]).toBeGreaterThan(WORKING_MODEL.meanSd ** 2);
    expect(covariance[1]).toBeLessThan(PRIOR);
  });

  // The mode of one count: the slope of log p(c | η) − (η − m)²/2v is nil there, and its curvature gives the variance.
  test('at a single stop is the mode and the curvature of one count, found here by bisection', () => {
    const [count, effort, prior, k] = [7, 2, -1, WORKING_MODEL.k];
    const slope = (eta: number) => {
      const expected = effort * Math.exp(eta);
      return count - ((count + k) * expected) / (expected + k) - (eta - prior) / PRIOR;
    };
    let [low, high] = [-10, 10];
    for (let i = 0; i < 200; i++) {
      const middle = (low + high) / 2;
      if (slope(middle) > 0) low = middle;
      else high = middle;
    }
    const expected = effort * Math.exp(low);
    const curvature = ((count + k) * expected * k) / (expected + k) ** 2 + 1 / PRIOR;
    const { mean, covariance } = logDensity(stops([0, count, effort]), cells(0), prior);
    expect(mean[0]).toBeCloseTo(low, 6);
    expect(covariance[0]).toBeCloseTo(1 / curvature, 6);
  });

  test('is surer beside a stop than far from it, lower after a zero and higher after a find', () => {
    const { mean, covariance } = logDensity(stops([0, 0, 5], [600, 40, 5]), cells(0, 300, 600), -1);
    expect(mean[0]).toBeLessThan(mean[1]!);
    expect(mean[1]).toBeLessThan(mean[2]!);
    expect(covariance[8]).toBeLessThan(covariance[4]!);
  });

  test('is the same whatever the order of the stops, and stands with two counts at one place', () => {
    const rows: [number, number, number][] = [
      [0, 3, 1],
      [0, 0, 1],
      [150, 12, 1],
      [400, 0, 0.25],
    ];
    const one = logDensity(stops(...rows), cells(50, 350), 0);
    const other = logDensity(stops(...[...rows].reverse()), cells(50, 350), 0);
    for (let c = 0; c < 2; c++) expect(other.mean[c]).toBeCloseTo(one.mean[c]!, 7);
    for (let c = 0; c < 4; c++) expect(other.covariance[c]).toBeCloseTo(one.covariance[c]!, 7);
  });

  test('holds huge counts and many zeros', () => {
    const many = Array.from({ length: 120 }, (_, i): [number, number, number] => [
      (i * 37) % 900,
      i % 40 === 0 ? 5000 : 0,
      1,
    ]);
    const { mean, covariance } = logDensity(stops(...many), cells(0, 450, 890), -2);
    for (const one of [...mean, ...covariance]) expect(Number.isFinite(one)).toBe(true);
    for (const c of [0, 4, 8]) expect(covariance[c]).toBeGreaterThan(0);
  });
});
