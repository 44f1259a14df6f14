/** Classes of a shade: edges near the quantiles, rounded so that they can be printed and remembered. */
import { quantileOfSorted } from '../../shared/statistics/quantile.ts';

export interface ClassRules {
  readonly count: number;
  /** 'log' for quantities over many orders: edges are 1, 2 or 5 times a power of ten, finer where they would fall together. */
  readonly scale: 'linear' | 'log';
  /** SI of one unit on screen: edges are round there. */
  readonly unitFactor: number;
  /** Less than this (SI) is as good as none: it belongs to the lowest class and moves no edge. */
  readonly least: number;
}

/**
 * Inner edges, rising, in SI; a value at an edge belongs to the class above it. Fewer than asked for where values are too alike.
 * @param values known values, any order
 */
export function classEdges(values: ArrayLike<number>, rules: ClassRules): readonly number[] {
  const shown = Float64Array.from(values, (value) => value / rules.unitFactor);
  const counted = shown.filter((value) => value >= rules.least / rules.unitFactor).sort();
  if (counted.length < 2 || counted[0] === counted.at(-1)) return [];
  const quantiles = Array.from({ length: rules.count - 1 }, (_, k) => quantileOfSorted(counted, (k + 1) / rules.count));
  const [first, last] = [counted[0]!, counted.at(-1)!];
  const wide = rules.scale === 'log' && first > 0 && last / first >= 10;
  const rounded = wide ? roundedOn(quantiles) : roundedApart([first, ...quantiles, last]);
  return [...new Set(rounded)]
    .filter((edge) => edge > first && edge <= last)
    .sort((a, b) => a - b)
    .map((edge) => edge * rules.unitFactor);
}

/** Edges at about such shares of the largest value, each 1, 2 or 5 times a power of ten of the unit on screen; SI. */
export function edgesBelow(largest: number, shares: readonly number[], unitFactor: number): readonly number[] {
  if (!(largest > 0)) return [];
  return [...new Set(shares.map((share) => oneTwoFiveAtMost((share * largest) / unitFactor) * unitFactor))];
}

/** Number of the class, from 0. */
export function classAt(edges: readonly number[], value: number): number {
  let at = 0;
  while (at < edges.length && value >= edges[at]!) at++;
  return at;
}

/** Where a class stands on its ramp, 0–1. */
export function rampPlace(at: number, edges: readonly number[]): number {
  return edges.length === 0 ? 0.5 : at / edges.length;
}

/** Each inner number rounded as coarsely as the room to its neighbors allows: it moves by a quarter of the gap at most. */
function roundedApart(values: readonly number[]): number[] {
  return values.slice(1, -1).flatMap((value, index) => {
    const gap = Math.min(value - values[index]!, values[index + 2]! - value);
    if (!(gap > 0)) return [];
    const step = oneTwoFiveAtMost(gap / 2);
    return [tidy(Math.round(value / step) * step, step)];
  });
}

function oneTwoFiveAtMost(size: number): number {
  const power = 10 ** Math.floor(Math.log10(size));
  const lead = size / power;
  return power * (lead >= 5 ? 5 : lead >= 2 ? 2 : 1);
}

/** The coarser series of round numbers keeps the quantiles apart mostly; else the finer one. */
function roundedOn(quantiles: readonly number[]): number[] {
  const coarse = quantiles.map((value) => nearestOf(ONE_TWO_FIVE, value));
  const fine = quantiles.map((value) => nearestOf(FINER, value));
  return new Set(fine).size > new Set(coarse).size ? fine : coarse;
}

const ONE_TWO_FIVE = [1, 2, 5, 10];
const FINER = [1, 1.5, 2, 3, 4, 5, 7, 10];

function nearestOf(series: readonly number[], value: number): number {
  const power = 10 ** Math.floor(Math.log10(value));
  const lead = value / power;
  const near = series.reduce((best, one) =>
    Math.abs(Math.log(lead / one)) < Math.abs(Math.log(lead / best)) ? one : best,
  );
  return tidy(near * power, power / 10);
}

/** 0.30000000000000004 → 0.3 */
function tidy(value: number, step: number): number {
  return Number(value.toFixed(Math.max(0, Math.min(20, Math.ceil(-Math.log10(step)) + 1))));
}
