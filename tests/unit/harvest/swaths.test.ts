import { describe, expect, test } from 'vitest';
import { union } from '../../../shared/geometry/clip.ts';
import { OwnerRaster, placesInside } from '../../../shared/harvest/owner-raster.ts';
import { swathQuads } from '../../../shared/harvest/swaths.ts';
import { areaM2, quadsOf } from '../../support/exact-newly-cut.ts';
import { closeTo } from '../../support/close-to.ts';
import { rectangle } from '../../support/invented-log.ts';

const grid = (cells: number, cellM = 1) => ({ x0M: 0, y0M: 0, columns: cells, rows: cells, cellM });

/** A closed circle in equal chords. */
function circle(radius: number, steps: number): [number, number][] {
  return Array.from({ length: steps + 1 }, (_, i) => {
    const angle = (2 * Math.PI * i) / steps;
    return [50 + radius * Math.cos(angle), 50 + radius * Math.sin(angle)];
  });
}

describe('swaths', () => {
  test('a step shorter than 5 cm cuts nothing and the next swath begins where the last one ended', () => {
    const { quads, grossM2 } = quadsOf(
      [
        [0, 0],
        [2, 0],
        [2.01, 0],
        [1.99, 0.01],
        [4, 0],
      ],
      9,
    );
    expect(quads.length).toBe(2);
    closeTo(grossM2, 36, { within: 1e-9, because: 'straight' });
  });

  test('a joint sharper than 45 degrees is cut square, one of 45 is mitred', () => {
    const corners = (deg: number) => {
      const angle = (deg * Math.PI) / 180;
      return quadsOf(
        [
          [0, 0],
          [20, 0],
          [20 + 20 * Math.cos(angle), 20 * Math.sin(angle)],
        ],
        9,
      ).swaths.cornersM;
    };
    expect(Array.from(corners(46).subarray(4, 8))).toEqual([20, -4.5, 20, 4.5]);
    const mitred = corners(45);
    closeTo(Math.hypot(mitred[4]! - mitred[6]!, mitred[5]! - mitred[7]!), 9 / Math.cos(Math.PI / 8), {
      within: 1e-9,
      because: '(w/2)/cos(turn/2) on each side',
    });
    for (let i = 0; i < 4; i++) expect(mitred[8 + i]).toBe(mitred[i < 2 ? 6 + i : 2 + i]);
  });

  test('a bend wider than half the swath has exactly length times width', () => {
    const points = circle(10, 72);
    const { grossM2 } = quadsOf(points, 9);
    const length = 72 * 2 * 10 * Math.sin(Math.PI / 72);
    // The first and last joint of an open run are square: a little less than the closed ring.
    closeTo(grossM2 / (length * 9), 1, { within: 1e-9, because: 'the mitre law' });
  });

  test('a bend tighter than half the swath neither folds nor leaves a hole: it covers the disc of its outer ends', () => {
    const points = circle(2, 24);
    const { quads, swaths } = quadsOf(points, 9);
    for (const quad of quads) expect(areaM2(quad)).toBeGreaterThan(0);
    const outer = 6.5 / Math.cos(Math.PI / 24);
    const polygon = (24 / 2) * outer * outer * Math.sin((2 * Math.PI) / 24) * Math.cos(Math.PI / 24) ** 2;
    closeTo(areaM2(union(quads)), polygon, {
      within: 0.06 * polygon,
      because: 'square ends, inner ends held at half a step',
    });
    const raster = new OwnerRaster(grid(100), null);
    let fresh = 0;
    for (let k = 0; k < 24; k++) {
      raster.claim(k, swaths.cornersM, 8 * k);
      fresh += raster.freshInside;
    }
    closeTo(fresh, areaM2(union(quads)), { within: 0.06 * polygon, because: 'counted in 1 m sub-cells' });
  });

  test('width 0 or unknown cuts nothing and ends the run', () => {
    const xM = Float64Array.of(0, 2, 4, 6, 8);
    const { areaM2: areas } = swathQuads(xM, new Float64Array(5), new Uint8Array(5).fill(1), [9, 0, NaN, 6, 6]);
    expect(Array.from(areas)).toEqual([18, 0, 0, 12, 0]);
  });
});

describe('owner raster', () => {
  test('refuses a mask of another size', () => {
    expect(() => new OwnerRaster(grid(10), new Uint8Array(99))).toThrow('expected a mask of 100 cells, got 99');
  });

  test('swaths that share an edge never both hold a sub-cell, whatever the heading', () => {
    for (let deg = 0; deg < 360; deg += 7) {
      const angle = (deg * Math.PI) / 180;
      const points: [number, number][] = Array.from({ length: 21 }, (_, i) => [
        50 + (i - 10) * 1.7 * Math.cos(angle),
        50 + (i - 10) * 1.7 * Math.sin(angle),
      ]);
      const { swaths } = quadsOf(points, 9);
      const raster = new OwnerRaster(grid(100), null);
      for (let k = 0; k < 20; k++) {
        raster.claim(k, swaths.cornersM, 8 * k);
        expect(raster.freshInside).toBe(raster.all);
      }
    }
  });

  test('a swath that holds no sub-cell is judged along its middle: fresh on new ground, overlap on old', () => {
    const raster = new OwnerRaster(grid(40), null);
    const slow = quadsOf(
      Array.from({ length: 41 }, (_, i): [number, number] => [10 + 0.1 * i, 20]),
      9,
    ).swaths;
    let share = 0;
    for (let k = 0; k < 40; k++) {
      raster.claim(k, slow.cornersM, 8 * k);
      share += raster.freshInside / raster.all;
    }
    expect(share).toBe(40);
    let again = 0;
    for (let k = 0; k < 40; k++) {
      raster.claim(1000 + k, slow.cornersM, 8 * k);
      again += raster.freshInside;
    }
    // A few probes stand on sub-cells that the first drive only grazed.
    expect(again / (40 * 9)).toBeLessThan(0.15);
  });

  test('ground off the raster is fresh and outside', () => {
    const raster = new OwnerRaster(grid(5), null);
    const { swaths } = quadsOf(
      [
        [100, 100],
        [110, 100],
      ],
      9,
    );
    raster.claim(0, swaths.cornersM, 0);
    expect(raster.freshInside).toBe(0);
    expect(raster.freshOutside).toBe(raster.all);
    closeTo(raster.all, 90, { within: 10, because: 'a sub-cell along each edge' });
  });

  test('the mask counts a boundary that lies between rows of centres by its area', () => {
    for (const top of [20.2, 20.5, 20.8]) {
      const mask = placesInside(grid(60), rectangle(0.3, 0.3, 50.3, top), { column0: 0, row0: 0 });
      const count = mask.reduce((sum, inside) => sum + inside, 0);
      closeTo(count, 50 * (top - 0.3), {
        within: 6,
        because: 'places are a turned lattice: no whole row goes either way',
      });
    }
  });
});
