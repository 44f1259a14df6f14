import { describe, expect, test } from 'vitest';
import {
  reverseRing,
  ringAreaM2,
  ringBounds,
  ringIsClockwise,
  ringIsSelfCrossing,
  ringLengthM,
} from '../../../shared/geometry/ring.ts';
import { closeTo } from '../../support/close-to.ts';
import { bent, clockwise, moved, numbers, ringOf } from './shapes.ts';

const square = ringOf(0, 0, 10, 0, 10, 10, 0, 10);

describe('measures of a ring', () => {
  test('an odd number of coordinates is refused', () => {
    expect(() => ringAreaM2(ringOf(1, 2, 3, 4, 5, 6, 7))).toThrow(
      'ringAreaM2: expected an even number of coordinates, got 7',
    );
  });

  test('the smallest cases', () => {
    expect(ringAreaM2(ringOf())).toBe(0);
    expect(ringAreaM2(ringOf(0, 0, 1, 1))).toBe(0);
    expect(ringAreaM2(ringOf(0, 0, 2, 0, 0, 2))).toBe(2);
    expect(ringLengthM(square)).toBe(40);
    expect(ringBounds(ringOf())).toEqual([Infinity, Infinity, -Infinity, -Infinity]);
    expect(ringBounds(square)).toEqual([0, 0, 10, 10]);
  });

  test('winding is the sign of the area', () => {
    expect(ringAreaM2(square)).toBe(100);
    expect(ringAreaM2(clockwise(square))).toBe(-100);
    expect(ringIsClockwise(square)).toBe(false);
    expect(ringIsClockwise(reverseRing(square))).toBe(true);
    expect([...reverseRing(square).slice(0, 4)]).toEqual([0, 0, 0, 10]);
  });

  test('start corner and place change no area, even at coordinates of a UTM zone', () => {
    const ring = bent(400, 250);
    const areaM2 = ringAreaM2(ring);
    const started = Float64Array.from([...ring.subarray(200), ...ring.subarray(0, 200)]);
    closeTo(ringAreaM2(started), areaM2, { within: 1e-9 * areaM2, because: 'rounding of sums' });
    closeTo(ringAreaM2(moved(ring, 448_677, 4_653_293)), areaM2, {
      within: 1e-9 * areaM2,
      because: 'coordinates of 5e6 are rounded to 1e-9 m; the first corner is subtracted',
    });
  });

  test('scaling a ring scales its area by the square', () => {
    const ring = bent(100, 10);
    for (const scale of [1e-6, 1e-3, 1e3, 1e6]) {
      const areaM2 = ringAreaM2(ring.map((value) => value * scale));
      closeTo(areaM2 / (scale * scale), ringAreaM2(ring), { within: 1e-9, because: 'rounding of sums' });
    }
  });
});

describe('a ring that crosses itself', () => {
  test.each([
    ['a square', square, null],
    ['fewer than three corners', ringOf(0, 0, 1, 1), null],
    ['a bow tie', ringOf(0, 0, 10, 10, 10, 0, 0, 10), [5, 5]],
    ['a bow tie with a corner at the crossing', ringOf(0, 0, 5, 5, 10, 10, 10, 0, 5, 5, 0, 10), [5, 5]],
    ['two lobes that touch at a corner', ringOf(0, 0, 5, 5, 0, 10, 10, 10, 5, 5, 10, 0), null],
    ['a corner that touches an edge', ringOf(0, 0, 10, 0, 10, 10, 5, 0, 0, 10), null],
    ['a corner pushed through an edge', ringOf(0, 0, 10, 0, 10, 10, 5, -1, 0, 10), [5.4545, 0]],
    ['a spike of no width', ringOf(0, 0, 10, 0, 10, 5, 15, 5, 10, 5, 10, 10, 0, 10), [12.5, 5]],
    ['doubled corners', ringOf(0, 0, 0, 0, 10, 0, 10, 0, 10, 10, 0, 10, 0, 10), null],
    ['twice round', ringOf(0, 0, 10, 0, 10, 10, 0, 10, 0, 0, 10, 0, 10, 10, 0, 10), [5, 0]],
  ])('%s', (_, ring, place) => {
    const found = ringIsSelfCrossing(ring);
    if (place === null) expect(found).toBeNull();
    else found!.forEach((value, i) => closeTo(value, place[i]!, { within: 1e-3, because: 'place in 4 digits' }));
  });

  test('a crossing is found wherever it is put into a long ring, and only then', () => {
    const draw = numbers(11);
    for (let round = 0; round < 40; round++) {
      const ring = bent(2000, 300);
      expect(ringIsSelfCrossing(ring)).toBeNull();
      const i = Math.floor(draw() * 1990);
      // Two neighbours change places: the ring crosses itself there.
      for (const k of [0, 1]) [ring[2 * i + k], ring[2 * i + 2 + k]] = [ring[2 * i + 2 + k]!, ring[2 * i + k]!];
      const found = ringIsSelfCrossing(ring);
      expect(found).not.toBeNull();
      expect(Math.hypot(found![0] - ring[2 * i]!, found![1] - ring[2 * i + 1]!)).toBeLessThan(5);
    }
  });

  test('long and short rings are judged by the same rule', () => {
    const bowtie = ringOf(0, 0, 10, 10, 10, 0, 0, 10);
    const dense: number[] = [];
    for (let i = 0; i < 8; i += 2) {
      for (let k = 0; k < 50; k++) {
        for (const axis of [0, 1]) {
          dense.push(bowtie[i + axis]! + ((bowtie[(i + 2 + axis) % 8]! - bowtie[i + axis]!) * k) / 50);
        }
      }
    }
    const found = ringIsSelfCrossing(Float64Array.from(dense));
    closeTo(found![0], 5, { within: 1e-6, because: 'the crossing is a corner here' });
  });
});
