import { describe, expect, it } from 'vitest';
import { alongAxis, type Axis, spreadOf, valueAlong } from '../../../src/map/histogram.ts';

const known = (...values: number[]) => values.map((value) => ({ value, weight: 1 }));
const sum = (values: readonly number[]) => values.reduce((a, b) => a + b, 0);

describe('the spread of the values on screen', () => {
  it('has no axis where nothing is known, and counts what is unknown', () => {
    const spread = spreadOf(
      [
        { value: null, weight: 3 },
        { value: NaN, weight: 2 },
      ],
      { kind: 'linear', bins: 4, least: 0 },
    );
    expect(spread.axis).toBeNull();
    expect(spread.unknown).toBe(5);
  });

  it('runs from none to all for a share', () => {
    const { axis, bins } = spreadOf(known(0.5, 0.7, 1), { kind: 'share', bins: 4, least: 0 });
    expect(axis).toEqual({ kind: 'linear', low: 0, high: 1 });
    expect(bins).toEqual([0, 0, 2, 1]);
    expect(spreadOf([], { kind: 'share', bins: 4, least: 0 }).axis).toBeNull();
  });

  it('loses no weight', () => {
    const values = Array.from({ length: 300 }, (_, i) => ({ value: i % 7 === 0 ? null : i ** 3, weight: 1 + (i % 3) }));
    const weight = sum(values.map((one) => one.weight));
    for (const kind of ['linear', 'log', 'rank', 'share'] as const) {
      const spread = spreadOf(values, { kind, bins: 40, least: 1 });
      expect(sum(spread.bins) + spread.below + spread.unknown).toBe(weight);
    }
  });

  it('puts the least value in the first bin and the most in the last', () => {
    const { bins } = spreadOf(known(10, 20, 30, 50), { kind: 'linear', bins: 4, least: 0 });
    expect(bins).toEqual([1, 1, 1, 1]);
  });

  it('sets none apart on a logarithmic axis', () => {
    const { axis, below, bins } = spreadOf(known(0, 0, 0.01, 1, 10, 100), { kind: 'log', bins: 2, least: 1 });
    expect(axis).toEqual({ kind: 'log', low: 1, high: 100 });
    expect(below).toBe(3);
    expect(bins).toEqual([1, 2]);
  });

  it('gives ranks a bin each, the first at the end', () => {
    const { axis, bins } = spreadOf(known(3, 1, 2), { kind: 'rank', bins: 40, least: 0 });
    expect(bins).toEqual([1, 1, 1]);
    expect(alongAxis(axis!, 1)).toBeGreaterThan(alongAxis(axis!, 3));
  });

  it('stays linear where a logarithm would say no more', () => {
    expect(spreadOf(known(5, 6, 7), { kind: 'log', bins: 3, least: 1 }).axis!.kind).toBe('linear');
  });

  it('goes along the axis there and back', () => {
    const axes: Axis[] = [
      { kind: 'linear', low: -3, high: 5 },
      { kind: 'log', low: 0.01, high: 1000 },
      { kind: 'rank', low: 0.5, high: 13.5 },
    ];
    for (const axis of axes) {
      for (const place of [0, 0.2, 0.5, 1]) expect(alongAxis(axis, valueAlong(axis, place))).toBeCloseTo(place, 12);
    }
  });
});
