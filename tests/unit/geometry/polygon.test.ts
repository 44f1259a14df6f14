import { describe, expect, test } from 'vitest';
import { geodesicAreaM2 } from '../../../shared/geometry/geodesic.ts';
import { createFrame } from '../../../shared/geometry/local-frame.ts';
import { nestRings } from '../../../shared/geometry/nesting.ts';
import {
  checkPolygon,
  mendPolygon,
  polygonAreaM2,
  polygonBounds,
  polygonPerimeterM,
  toLocalPolygon,
  toLonLatPolygon,
} from '../../../shared/geometry/polygon.ts';
import { ringAreaM2 } from '../../../shared/geometry/ring.ts';
import type { FlatMultiPolygon, MultiPolygon } from '../../../shared/geometry/types.ts';
import { closeTo } from '../../support/close-to.ts';
import { bent, clockwise, rectangle, ringOf } from './shapes.ts';

const holed: FlatMultiPolygon = [[bent(200, 300), clockwise(bent(50, 80, 20, 10))], [bent(30, 40, 500, 100)]];

describe('measures', () => {
  test('the empty area has none', () => {
    expect([polygonAreaM2([]), polygonPerimeterM([]), polygonBounds([])[0]]).toEqual([0, 0, Infinity]);
  });
  test('holes are taken off whatever their winding, and their edges count', () => {
    const square = ringOf(0, 0, 10, 0, 10, 10, 0, 10);
    const hole = ringOf(2, 2, 4, 2, 4, 4, 2, 4);
    expect(polygonAreaM2([[square, hole]])).toBe(96);
    expect(polygonAreaM2([[square, clockwise(hole)]])).toBe(96);
    expect(polygonPerimeterM([[square, hole]])).toBe(48);
    expect(polygonBounds([[square], ...rectangle(20, -5, 21, 0)])).toEqual([0, -5, 21, 10]);
  });
});

describe('degrees and meters', () => {
  const frame = createFrame([-93.62, 42.03]);

  test('rings out are closed and follow the right-hand rule', () => {
    const out = toLonLatPolygon(frame, [[clockwise(holed[0]![0]!), clockwise(holed[0]![1]!)]]);
    for (const ring of out[0]!) expect(ring[0]).toEqual(ring.at(-1));
    const signed = (ring: MultiPolygon[number][number]) =>
      ringAreaM2(
        Float64Array.from(
          ring
            .slice(0, -1)
            .flat()
            .map((deg, i) => deg - frame.origin[i % 2]!),
        ),
      );
    expect(signed(out[0]![0]!)).toBeGreaterThan(0);
    expect(signed(out[0]![1]!)).toBeLessThan(0);
  });

  test('there and back is good to the ninth decimal, and the areas agree', () => {
    const back = toLocalPolygon(frame, toLonLatPolygon(frame, holed));
    expect(back).toHaveLength(2);
    back.flat().forEach((ring, r) => {
      const given = holed.flat()[r]!;
      expect(ring).toHaveLength(given.length);
      ring.forEach((value, i) => closeTo(value, given[i]!, { within: 1e-4, because: '9 decimals are 0.1 mm' }));
    });
    const flatM2 = polygonAreaM2(back);
    closeTo(geodesicAreaM2(toLonLatPolygon(frame, holed)), flatM2, {
      within: 5e-9 * flatM2,
      because: 'the frame’s area error at half a kilometre is 2e-9',
    });
  });

  test('unclosed rings and either winding come in alike', () => {
    const ring = [
      [-93.62, 42.03],
      [-93.61, 42.03],
      [-93.61, 42.04],
    ] as const;
    const closed = toLocalPolygon(frame, [[[...ring, ring[0]]]]);
    expect(toLocalPolygon(frame, [[[...ring]]])).toEqual(closed);
    const turned = toLocalPolygon(frame, [[[ring[0], ring[2], ring[1], ring[0]]]]);
    expect(ringAreaM2(turned[0]![0]!)).toBeGreaterThan(0);
    expect([...turned[0]![0]!]).toEqual([...closed[0]![0]!]);
  });
});

describe('checking and mending', () => {
  test('a sound area has no fault and comes back as it is', () => {
    expect(checkPolygon(holed)).toEqual([]);
    const { polygon, changes, areaBeforeM2, areaAfterM2 } = mendPolygon(holed);
    expect(polygon).toBe(holed);
    expect([changes, areaAfterM2]).toEqual([[], areaBeforeM2]);
    expect(checkPolygon([])).toEqual([]);
  });

  test('each fault is named with its part, ring and place', () => {
    const square = () => ringOf(0, 0, 10, 0, 10, 10, 0, 10);
    const kinds = (polygon: FlatMultiPolygon) =>
      checkPolygon(polygon).map(({ kind, polygon: p, ring }) => [kind, p, ring]);
    expect(kinds([[ringOf(0, 0, 5, 0)]])).toEqual([['no-area', 0, 0]]);
    expect(kinds([[square()], [ringOf(20, 0, 30, 10, 30, 0, 20, 10)]])).toEqual([['self-crossing', 1, 0]]);
    expect(kinds([[square(), clockwise(ringOf(20, 0, 22, 0, 22, 2))]])).toEqual([['hole-outside', 0, 1]]);
    expect(kinds([[square(), clockwise(ringOf(8, 2, 13, 2, 13, 4, 8, 4))]])).toEqual([['hole-crosses-edge', 0, 1]]);
    expect(
      kinds([[square(), clockwise(ringOf(1, 1, 5, 1, 5, 5, 1, 5)), clockwise(ringOf(4, 4, 8, 4, 8, 8, 4, 8))]]),
    ).toEqual([['holes-overlap', 0, 2]]);
    expect(kinds([[square()], ...rectangle(5, 5, 15, 15)])).toEqual([['parts-overlap', 1, 0]]);
    expect(checkPolygon([[ringOf(0, 0, 10, 10, 10, 0, 0, 10)]])[0]!.at).toEqual([5, 5]);
  });

  test('parts that share an edge, a part in another’s hole and a hole at one point of the edge are sound', () => {
    expect(checkPolygon([...rectangle(0, 0, 10, 10), ...rectangle(10, 0, 20, 10)])).toEqual([]);
    const square = ringOf(0, 0, 10, 0, 10, 10, 0, 10);
    const hole = clockwise(ringOf(2, 2, 8, 2, 8, 8, 2, 8));
    expect(checkPolygon([[square, hole], ...rectangle(4, 4, 6, 6)])).toEqual([]);
    expect(checkPolygon([[square, clockwise(ringOf(0, 5, 3, 3, 3, 7))]])).toEqual([]);
  });

  test('doubled corners are dropped at a micrometre and told only from one in a hundred on', () => {
    const ring = bent(300, 100);
    const few = Float64Array.from([...ring.subarray(0, 2), ...ring]);
    expect(checkPolygon([[few]])).toEqual([]);
    const many = Float64Array.from(
      Array.from({ length: 300 }, (_, i) => [
        ...ring.slice(2 * i, 2 * i + 2),
        ring[2 * i]! + 1e-8,
        ring[2 * i + 1]!,
      ]).flat(),
    );
    expect(checkPolygon([[many]]).map(({ kind }) => kind)).toEqual(['duplicate-corners']);
    const mended = mendPolygon([[many]]);
    expect(mended.polygon[0]![0]).toHaveLength(600);
    expect(mended.changes[0]).toMatch(/^The outline of part 1 had doubled corners/);
  });

  test('mending tells areas before and after, and the other reading of a loop', () => {
    const curl = mendPolygon([[ringOf(0, 0, 10, 0, 10, 10, 4, 10, 4, -2, 6, -2, 6, 4, 0, 4)]]);
    expect(curl.areaAfterM2).toBe(80);
    expect(curl.changes).toEqual([
      'The outline of part 1 crosses itself; everything that it winds about was kept (at 4.0 m east, 0.0 m north).',
      'Ground wound about twice counts as inside: 80.0 m². Taken as outside it would be 72.0 m².',
    ]);
    const bowtie = mendPolygon([[ringOf(0, 0, 10, 10, 10, 0, 0, 10)]]);
    expect([bowtie.areaBeforeM2, bowtie.areaAfterM2]).toEqual([0, 50]);
  });

  test('overlapping parts are counted once', () => {
    const mended = mendPolygon([...rectangle(0, 0, 10, 10), ...rectangle(5, 5, 15, 15)]);
    expect([mended.areaBeforeM2, mended.areaAfterM2]).toEqual([200, 175]);
  });
});

describe('nesting of loose rings', () => {
  test('a hole goes to the smallest outer ring about it; without one it is a mistake', () => {
    const hole = clockwise(ringOf(12, 12, 18, 12, 18, 18, 12, 18));
    const nested = nestRings([
      ringOf(0, 0, 100, 0, 100, 100, 0, 100),
      clockwise(ringOf(5, 5, 30, 5, 30, 30, 5, 30)),
      ringOf(10, 10, 20, 10, 20, 20, 10, 20),
      hole,
    ]);
    expect(nested.map((rings) => rings.length)).toEqual([2, 2]);
    expect(nested[1]![1]).toBe(hole);
    expect(() => nestRings([hole])).toThrow(/no outer ring/);
  });
});
