import { describe, expect, it } from 'vitest';
import { findsFollowPath } from '../../../shared/agronomy/finds-along-path.ts';
import { scoutingDensity } from '../../../shared/agronomy/scouting-density.ts';
import { stream } from '../../../shared/statistics/random.ts';
import type { Truth } from '../../support/simulated-truths.ts';
import { simulateTruth, STRIP_DIRECTION } from '../../support/simulated-truths.ts';
import { simulateScouting } from '../../support/simulated-weeds.ts';

const scouted = (truth: Truth, field: number, n = 200) =>
  scoutingDensity(
    simulateScouting(stream(3, 'scouting', truth, field), simulateTruth(truth, stream(3, truth, field)), n, 0.8),
  );
const FIELDS = 14;
const firesIn = (truth: Truth, direction: number): number =>
  Array.from({ length: FIELDS }, (_, field) => findsFollowPath(scouted(truth, field), direction)).filter(Boolean)
    .length;

describe('finds along the harvest path', () => {
  it('are seen in most fields of strips, and never across the strips', () => {
    expect(firesIn('strips', STRIP_DIRECTION)).toBeGreaterThanOrEqual(FIELDS / 2);
    expect(firesIn('strips', 0)).toBe(0);
  });

  it('are seldom seen where patches have no direction, though neighbors are alike', () => {
    expect(firesIn('soft', STRIP_DIRECTION) + firesIn('discs', 0.4)).toBeLessThanOrEqual(3);
  });

  it('are the same whichever way the machine went, in whatever order the places come', () => {
    const field = Array.from({ length: FIELDS }, (_, at) => at).find((at) =>
      findsFollowPath(scouted('strips', at), STRIP_DIRECTION),
    )!;
    const { xM, yM, count } = scouted('strips', field);
    const places = { xM: xM.slice().reverse(), yM: yM.slice().reverse(), count: count.slice().reverse() };
    expect(findsFollowPath(places, STRIP_DIRECTION + Math.PI)).toBe(true);
  });

  it('need eight places with plants and eight without', () => {
    const line = (with_: number, without: number) => {
      const n = with_ + without;
      return {
        xM: Float64Array.from({ length: n }, (_, i) => (i < with_ ? 0 : 40 + 37 * (i % 5))),
        yM: Float64Array.from({ length: n }, (_, i) => 30 * (i < with_ ? i : Math.floor(i / 2))),
        count: Float64Array.from({ length: n }, (_, i) => (i < with_ ? 1 : 0)),
      };
    };
    expect(findsFollowPath(line(8, 30), Math.PI / 2)).toBe(true);
    expect(findsFollowPath(line(7, 30), Math.PI / 2)).toBe(false);
    expect(findsFollowPath(line(8, 7), Math.PI / 2)).toBe(false);
  });
});
