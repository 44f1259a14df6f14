import { describe, expect, it } from 'vitest';
import { countingBound } from '../../../shared/agronomy/infested-area.ts';
import type { InfestedRangeInput } from '../../../shared/agronomy/infested-range.ts';
import { infestedRange, widenedRange } from '../../../shared/agronomy/infested-range.ts';
import type { JoinedChains } from '../../../shared/statistics/latent/posterior.ts';
import { aboveThreshold } from '../../../shared/statistics/latent/posterior.ts';
import { RANGES_M } from '../../../shared/statistics/latent/priors.ts';
import { closeTo } from '../../support/close-to.ts';
import { patchyCounts } from '../../support/latent-field.ts';

const CELLS = 10;
const KEPT = 20;
const coarse = Int32Array.from({ length: CELLS }, (_, i) => i);

/** Chains whose sweep j has the first `cellsAbove(j)` of ten cells far above 1 plant/m², the others far below. */
function chainsWith(cellsAbove: (sweep: number) => number, { k = 0.8, rangeIndex = 6 } = {}): JoinedChains {
  const log = (at: number): number => (at % CELLS < cellsAbove(Math.floor(at / CELLS)) ? 9 : -9);
  return {
    kept: KEPT,
    keptFirst: KEPT / 2,
    mu: new Float64Array(KEPT),
    logSill: new Float64Array(KEPT),
    logK: new Float64Array(KEPT).fill(Math.log(k)),
    rangeIndex: new Uint8Array(KEPT).fill(rangeIndex),
    surface: Float32Array.from({ length: KEPT * CELLS }, (_, at) => log(at)),
    variance: new Float32Array(RANGES_M.length * CELLS).fill(1e-6),
    draws: Float32Array.from({ length: KEPT * 3 * CELLS }, (_, at) =>
      at % CELLS < cellsAbove(Math.floor(at / (3 * CELLS))) ? 9 : -9,
    ),
  };
}
const steady = (sweep: number): number => 2 + (sweep % 4);
const places = patchyCounts(60);
const given = (change: Partial<InfestedRangeInput> = {}): InfestedRangeInput => ({
  chains: chainsWith(steady),
  coarse,
  areaM2: new Float64Array(CELLS).fill(1000),
  thresholdPerM2: 1,
  places,
  spacingM: 80,
  findsFollowPath: false,
  ...change,
});
const fewFinds = { ...places, count: places.count.map((c, i) => (i < 30 ? 0 : Math.min(c, 1) * (i < 36 ? 1 : 0))) };

describe('the infested area', () => {
  it('is the sum of the probabilities, its 80 % range within the 90 %, of the known area', () => {
    const range = infestedRange(given());
    closeTo(range.centralM2!, 3500, { within: 1e-6, because: 'two, three, four or five cells in turn' });
    expect(range.knownAreaM2).toBe(10_000);
    expect(range.saying).toBe('plain');
    expect(range.range90M2.low).toBeLessThanOrEqual(range.range80M2.low);
    expect(range.range80M2.high).toBeLessThanOrEqual(range.range90M2.high);
    expect(range.range90M2.low).toBeLessThan(2000);
    expect(range.range90M2.high).toBeGreaterThan(5000);
  });

  it('is never larger than the known area', () => {
    const { centralM2, range90M2 } = infestedRange(given({ chains: chainsWith(() => CELLS) }));
    expect(centralM2).toBe(10_000);
    expect(range90M2.high).toBe(10_000);
  });

  it('has the quadrats as they were counted, and tells quadrats that are too small', () => {
    const range = infestedRange(given());
    expect([range.quadrats, range.positives]).toEqual([60, places.count.filter((c) => c > 0).length]);
    expect(range.quadratsTooSmall).toBe(false);
    expect(infestedRange(given({ thresholdPerM2: 0.1 })).quadratsTooSmall).toBe(true);
  });
});

describe('what is said with the range', () => {
  it('few finds: joined with what counting alone can tell', () => {
    const range = infestedRange(given({ places: fewFinds }));
    const counted = countingBound(range.positives, fewFinds.effortM2, range.parameters.k, 1);
    expect(range.saying).toBe('few finds');
    expect(range.positives).toBeLessThan(8);
    expect(range.range90M2.low).toBeLessThanOrEqual(counted.low * 10_000);
    expect(range.range90M2.high).toBeGreaterThanOrEqual(counted.high * 10_000);
  });

  it('no find at all: nothing may be infested, and no more than the bound or the model', () => {
    const clean = { ...places, count: new Float64Array(60) };
    const { range90M2, saying } = infestedRange(given({ places: clean, chains: chainsWith(() => 0) }));
    expect(saying).toBe('few finds');
    expect(range90M2.low).toBe(0);
    closeTo(range90M2.high, countingBound(0, clean.effortM2, 0.8, 1).high * 10_000, {
      within: 1e-9,
      because: 'the model has none',
    });
  });

  it('clumped, or strips where the range is short beside the spacing; strips wherever finds follow the path', () => {
    const clumped = { k: 0.2 };
    const saying = (change: Partial<InfestedRangeInput>) => infestedRange(given(change)).saying;
    expect(saying({ chains: chainsWith(steady, clumped), spacingM: 40 })).toBe('clumped');
    expect(saying({ chains: chainsWith(steady, clumped), spacingM: 80 })).toBe('strips');
    expect(saying({ chains: chainsWith(steady, clumped), spacingM: null })).toBe('clumped');
    expect(saying({ spacingM: 80 })).toBe('plain');
    expect(saying({ findsFollowPath: true })).toBe('strips');
    expect(saying({ findsFollowPath: true, places: fewFinds })).toBe('few finds');
  });

  it('not settled: the counting bound alone, no central area', () => {
    const apart = chainsWith((sweep) => (sweep < KEPT / 2 ? 1 : 8));
    const range = infestedRange(given({ chains: apart }));
    const { low, high } = countingBound(range.positives, places.effortM2, range.parameters.k, 1);
    expect(range.saying).toBe('not settled');
    expect(range.centralM2).toBeNull();
    expect(range.range90M2).toEqual({ low: low * 10_000, high: high * 10_000 });
    const [one, other] = aboveThreshold(apart, coarse, 1, new Float64Array(CELLS).fill(1)).shareOfChain;
    closeTo(one, 0.1, { within: 1e-12, because: 'sums' });
    closeTo(other, 0.8, { within: 1e-12, because: 'sums' });
  });

  it('not settled either where nothing is known', () => {
    const range = infestedRange(given({ areaM2: new Float64Array(CELLS) }));
    expect(range.saying).toBe('not settled');
    expect(range.range90M2).toEqual({ low: 0, high: 0 });
  });
});

it('the shape allowance widens both ends, and nothing at no allowance', () => {
  const shares = Float64Array.from({ length: 101 }, (_, i) => 0.2 + i / 1000);
  const plain = widenedRange(shares, 0.9, 0);
  closeTo(plain.low, 0.205, { within: 1e-12, because: 'every share nine times' });
  closeTo(plain.high, 0.295, { within: 1e-12, because: 'every share nine times' });
  const { low, high } = widenedRange(shares, 0.9);
  expect(low).toBeLessThan(0.205);
  expect(high).toBeGreaterThan(0.295);
});
