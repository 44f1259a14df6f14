import { describe, expect, it } from 'vitest';
import { largestByColumn } from '../../../src/charts/pixel-columns.ts';
import { workTimeOf } from '../../../src/charts/work-time.ts';

/** A minute of work, a night, two minutes of work; a record a second. */
const seconds = (from: number, to: number) => Array.from({ length: to - from + 1 }, (_, k) => from + k);
const timeS = Float64Array.from([...seconds(1000, 1060), ...seconds(40_000, 40_120)]);
const axis = workTimeOf(timeS, 60, 200, 20);

describe('a time axis of work', () => {
  it('gives equal work equal width, and a night a gap', () => {
    expect(axis.stretches).toEqual([
      { fromS: 1000, toS: 1060, x0: 0, x1: 60 },
      { fromS: 40_000, toS: 40_120, x0: 80, x1: 200 },
    ]);
    expect(axis.workS).toBe(180);
  });

  it('goes from time to place and to work, and back', () => {
    for (const at of [1000, 1031, 1060, 40_000, 40_077, 40_120])
      expect(axis.timeOf(axis.workOf(at))).toBe(at === 1060 ? 40_000 : at);
    expect(axis.xOf(1030)).toBe(30);
    expect(axis.xOf(40_060)).toBe(140);
  });

  it('stands at the edge in a pause, before the first and after the last record', () => {
    expect(axis.xOf(20_000)).toBe(60);
    expect(axis.xOf(0)).toBe(0);
    expect(axis.xOf(90_000)).toBe(200);
    expect(axis.timeOf(-5)).toBe(1000);
    expect(axis.timeOf(1e9)).toBe(40_120);
  });

  it('keeps half of the width for the work however many pauses there are', () => {
    const many = workTimeOf(
      Float64Array.from(Array.from({ length: 40 }, (_, k) => [k * 1000, k * 1000 + 10]).flat()),
      60,
      200,
      20,
    );
    const work = many.stretches.reduce((sum, { x0, x1 }) => sum + x1 - x0, 0);
    expect(work).toBeCloseTo(100);
    expect(many.stretches.at(-1)!.x1).toBeCloseTo(200);
  });

  it('of no record, or of one, is a point', () => {
    expect(workTimeOf(new Float64Array(0), 60, 200, 20).workS).toBe(0);
    expect(workTimeOf(Float64Array.of(7), 60, 200, 20).xOf(7)).toBe(0);
  });
});

describe('points by column', () => {
  it('keeps the largest of each column, in order, and what has no place out', () => {
    const x = [0.2, 0.6, 0.9, 1.1, NaN, 3.5];
    const value = [1, 5, 2, 7, 99, 3];
    const points = largestByColumn(
      x.length,
      (k) => x[k]!,
      (k) => value[k]!,
    );
    expect(points).toEqual([
      { x: 0, point: 1 },
      { x: 1, point: 3 },
      { x: 3, point: 5 },
    ]);
  });
});
