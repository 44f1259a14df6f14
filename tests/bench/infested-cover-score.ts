/** What fields with known truth say of a range. */
import type { Interval } from '../../shared/statistics/intervals.ts';

/** Shares of a field. */
export interface Scored {
  readonly truth: number;
  /** null where no central area was given. */
  readonly central: number | null;
  readonly range90: Interval;
  readonly range80: Interval;
}

export interface Tally {
  readonly fields: number;
  /** Mean estimate over mean truth, and root mean squared error, of the fields that had an estimate. */
  readonly ratio: number;
  readonly rmse: number;
  /** Share of the fields whose truth lay in the range, and how many lay in it. */
  readonly cover80: number;
  readonly cover90: number;
  readonly held90: number;
  readonly below90: number;
  readonly above90: number;
  readonly width90: number;
  readonly meanTruth: number;
}

const holds = ({ low, high }: Interval, truth: number): boolean => low <= truth && truth <= high;

export function tallyOf(scored: readonly Scored[]): Tally {
  const fields = scored.length;
  const share = (has: (one: Scored) => boolean): number => scored.filter(has).length / fields;
  const mean = (of: (one: Scored) => number): number => scored.reduce((sum, one) => sum + of(one), 0) / fields;
  const told = scored.filter(({ central }) => central !== null);
  const sum = (of: (one: Scored) => number): number => told.reduce((all, one) => all + of(one), 0);
  return {
    fields,
    ratio: sum(({ central }) => central!) / sum(({ truth }) => truth),
    rmse: Math.sqrt(sum(({ central, truth }) => (central! - truth) ** 2) / told.length),
    cover80: share(({ range80, truth }) => holds(range80, truth)),
    cover90: share(({ range90, truth }) => holds(range90, truth)),
    held90: scored.filter(({ range90, truth }) => holds(range90, truth)).length,
    below90: share(({ range90, truth }) => truth < range90.low),
    above90: share(({ range90, truth }) => truth > range90.high),
    width90: mean(({ range90: { low, high } }) => high - low),
    meanTruth: mean(({ truth }) => truth),
  };
}

export const standardError = (share: number, fields: number): number => Math.sqrt((share * (1 - share)) / fields);

const POOLED_AT_LEAST = 0.88;
const ROW_AT_LEAST = 0.8;
const ROW_ERRORS = 2;

/** The rule for all the rows of one k together. */
export const pooledMet = (cover90: number): boolean => cover90 >= POOLED_AT_LEAST;

/** The rule for one row: not under 80 % by more than two standard errors, those of a share of 80 %. */
export const rowMet = (cover90: number, fields: number): boolean =>
  cover90 >= ROW_AT_LEAST - ROW_ERRORS * standardError(ROW_AT_LEAST, fields);
