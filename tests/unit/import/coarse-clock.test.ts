import { describe, expect, test } from 'vitest';
import { spreadCoarseTimes, stepWords } from '../../../shared/import/coarse-clock.ts';

/** A record every so many seconds, its clock cut down to steps. */
const cut = (count: number, everyS: number, stepS: number, fromS = 0) =>
  Float64Array.from({ length: count }, (_, k) => Math.floor((fromS + k * everyS) / stepS) * stepS);

describe('a clock that tells records apart', () => {
  test.each<[string, number[]]>([
    ['a record a second', [0, 1, 2, 3, 4, 5]],
    ['a record a minute', [0, 60, 120, 180]],
    ['a few records twice', [0, 1, 1, 2, 3, 4, 5, 6]],
    ['no record', []],
  ])('is left as it is: %s', (_, times) => {
    expect(spreadCoarseTimes(Float64Array.from(times))).toBeNull();
  });

  test('with fractions of a second is left as it is, whatever is double', () => {
    expect(spreadCoarseTimes(Float64Array.of(0.5, 0.5, 1.5, 1.5))).toBeNull();
  });
});

describe('a clock of whole minutes', () => {
  test('gives a record a second back to within a rounding, from the middle of a minute on', () => {
    const { timeS, stepS, usual, most } = spreadCoarseTimes(cut(200, 1, 60, 25))!;
    expect([stepS, usual, most]).toEqual([60, 60, 60]);
    timeS.forEach((time, k) => expect(Math.abs(time - (25 + k))).toBeLessThan(1e-9));
  });

  test('keeps the order, and moves no time out of its minute', () => {
    const coarse = cut(333, 1.3, 60, 17);
    const { timeS } = spreadCoarseTimes(coarse)!;
    for (let k = 1; k < timeS.length; k++) expect(timeS[k]!).toBeGreaterThan(timeS[k - 1]!);
    timeS.forEach((time, k) => expect(time - coarse[k]!).toBeLessThan(60));
    timeS.forEach((time, k) => expect(time - coarse[k]!).toBeGreaterThanOrEqual(0));
  });

  test('a pause stays one: the minute before it is not stretched, the one after it ends full', () => {
    const times = [...cut(140, 1, 60), ...cut(80, 1, 60, 600 + 40)];
    const { timeS } = spreadCoarseTimes(Float64Array.from(times))!;
    expect(timeS[139]).toBeCloseTo(139, 9);
    expect(timeS[140]).toBeCloseTo(640, 9);
  });
});

test('whole seconds under five records a second are spread within the second', () => {
  const { timeS, stepS } = spreadCoarseTimes(cut(50, 0.2, 1))!;
  expect(stepS).toBe(1);
  timeS.forEach((time, k) => expect(Math.abs(time - k * 0.2)).toBeLessThan(1e-9));
});

test('is said in words', () => {
  expect([60, 10, 1].map(stepWords)).toEqual(['whole minutes', 'steps of 10 seconds', 'whole seconds']);
});
