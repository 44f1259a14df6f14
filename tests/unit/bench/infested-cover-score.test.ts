import { describe, expect, it } from 'vitest';
import reference from '../../reference/infested-area/exact-coverage.json';
import type { Scored } from '../../bench/infested-cover-score.ts';
import { pooledMet, rowMet, standardError, tallyOf } from '../../bench/infested-cover-score.ts';
import { closeTo } from '../../support/close-to.ts';

const because = 'sums of four numbers';
const scored = (
  truth: number,
  central: number | null,
  [low90, high90]: [number, number],
  within80: boolean,
): Scored => ({
  truth,
  central,
  range90: { low: low90, high: high90 },
  range80: within80 ? { low: truth, high: truth } : { low: high90, high: high90 },
});

describe('fields with known truth', () => {
  const four = [
    scored(0.2, 0.3, [0.1, 0.4], true),
    scored(0.2, 0.1, [0.25, 0.35], false),
    scored(0.4, 0.4, [0.1, 0.3], false),
    scored(0.1, null, [0.1, 0.1], true),
  ];

  it('are counted inside, below and above their ranges, ends included', () => {
    const tally = tallyOf(four);
    expect([tally.fields, tally.held90]).toEqual([4, 2]);
    expect([tally.cover90, tally.below90, tally.above90, tally.cover80]).toEqual([0.5, 0.25, 0.25, 0.5]);
    closeTo(tally.width90, (0.3 + 0.1 + 0.2 + 0) / 4, { within: 1e-12, because });
    closeTo(tally.meanTruth, 0.9 / 4, { within: 1e-12, because });
  });

  it('have their ratio and error over those that were given an estimate', () => {
    const { ratio, rmse } = tallyOf(four);
    closeTo(ratio, 0.8 / 0.8, { within: 1e-12, because });
    closeTo(rmse, Math.sqrt((0.01 + 0.01 + 0) / 3), { within: 1e-12, because });
  });
});

describe('the rule', () => {
  it('asks 88 % of the truths of one k, and no row under 80 % by more than two standard errors', () => {
    expect([0.88, 0.879].map(pooledMet)).toEqual([true, false]);
    closeTo(standardError(0.8, 60), 0.0516, { within: 1e-4, because: 'four digits' });
    expect([0.7, 0.69].map((cover) => rowMet(cover, 60))).toEqual([true, false]);
    expect(rowMet(0.7, 400), 'many fields leave less to chance').toBe(false);
  });

  it('holds for the reference’s own rows', () => {
    const rows = reference.fresh.filter((one) => one.threshold === 1 && one.n <= 200);
    expect(rows.length).toBe(45);
    for (const { rule, fields } of rows) expect(rowMet(rule.cover90, fields)).toBe(true);
    for (const k of [0.2, 0.8, 2]) {
      const of = rows.filter((one) => one.k === k);
      expect(pooledMet(of.reduce((sum, one) => sum + one.rule.cover90, 0) / of.length)).toBe(true);
    }
  });
});
