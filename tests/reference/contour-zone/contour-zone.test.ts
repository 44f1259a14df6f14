import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { buffer, intersect, openByWidth, subtract, union } from '../../../shared/geometry/clip.ts';
import { contourAtLevel } from '../../../shared/geometry/contour.ts';
import { checkPolygon, polygonAreaM2, polygonPerimeterM } from '../../../shared/geometry/polygon.ts';
import { reverseRing, ringAreaM2, ringIsClockwise } from '../../../shared/geometry/ring.ts';
import { simplifyKeepingArea, simplifyRing } from '../../../shared/geometry/simplify.ts';
import type { FlatMultiPolygon, FlatRing, Grid } from '../../../shared/geometry/types.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';

interface Cases {
  gaussianHill: {
    levels: {
      cellM: number;
      level: number;
      exactAreaM2: number;
      exactRadiusM: number;
      marchingSquaresAreaM2: number;
      marchingRelativeError: number;
    }[];
    bandAreas: { lower: number; upper: number; exactAreaM2: number }[];
    massAbove: { level: number; exactMass: number }[];
  };
  plane: { level: number; exactAreaAboveM2: number };
  saddle: { corners: [number, number, number, number]; level: number; areaAbove: number; joined: boolean }[];
  holeInBand: { level: number; exactAreaM2: number };
  boundary: { level: number; exactAreaM2: number };
  simplify: {
    results: {
      shape: string;
      areaM2: number;
      perimeterM: number;
      corners: number;
      tolerance: number;
      douglasPeucker: { areaM2: number; corners: number; valid: boolean; symmetricDifferenceM2: number };
    }[];
  };
  minimumWidth: {
    shapes: Record<string, [number, number][] | string>;
    results: {
      shape: string;
      areaM2: number;
      widthM: number;
      join: 'round' | 'mitre';
      openedAreaM2: number;
      parts: number;
      lostAreaM2: number;
      erodedAreaM2: number;
    }[];
  };
}
const cases = JSON.parse(readFileSync(new URL('./cases.json', import.meta.url), 'utf8')) as unknown as Cases;

function gridOf(
  x0M: number,
  y0M: number,
  columns: number,
  rows: number,
  cellM: number,
  surface: (x: number, y: number) => number,
): Grid {
  const values = new Float64Array(columns * rows);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      values[row * columns + column] = surface(x0M + (column + 0.5) * cellM, y0M + (row + 0.5) * cellM);
    }
  }
  return { x0M, y0M, columns, rows, cellM, values };
}

const rectangle = (x0: number, y0: number, x1: number, y1: number): FlatMultiPolygon => [
  [Float64Array.of(x0, y0, x1, y0, x1, y1, x0, y1)],
];
const hill = (x: number, y: number) => 10 * Math.exp(-(x * x + y * y) / (2 * 40 * 40));
/** The case's nodes are our cell centres. */
function hillGrid(cellM: number): Grid {
  const nodes = Math.round(400 / cellM) + 1;
  return gridOf(-200 + 3.7 - cellM / 2, -200 + 1.3 - cellM / 2, nodes, nodes, cellM, hill);
}
function wobble(n: number, r: number, a: number, k: number, b: number, m: number): FlatRing {
  const round4 = (value: number) => Math.round(value * 1e4) / 1e4;
  return Float64Array.from(
    Array.from({ length: n }, (_, i) => (2 * Math.PI * i) / n).flatMap((t) => {
      const radius = r * (1 + a * Math.cos(k * t) + b * Math.sin(m * t));
      return [round4(radius * Math.cos(t)), round4(radius * Math.sin(t))];
    }),
  );
}

describe('the area above a level of a Gaussian hill', () => {
  let worst = 0;
  let worstExact = 0;
  test.each(cases.gaussianHill.levels)('cells of $cellM m, level $level', (one) => {
    const area = contourAtLevel(hillGrid(one.cellM), one.level);
    expect(area).toHaveLength(1);
    expect(area[0]).toHaveLength(1);
    const areaM2 = polygonAreaM2(area);
    closeTo(areaM2, one.marchingSquaresAreaM2, {
      within: 1e-9 * one.marchingSquaresAreaM2,
      because: 'marching squares on the same nodes',
    });
    closeTo(areaM2 / one.exactAreaM2 - 1, one.marchingRelativeError, {
      within: 1e-9,
      because: 'the error against the exact circle is the method’s own, second order in the cell',
    });
    worst = Math.max(worst, Math.abs(areaM2 / one.marchingSquaresAreaM2 - 1));
    if (one.cellM > one.exactRadiusM / 5.5) return;
    closeTo(areaM2, one.exactAreaM2, { within: 0.01 * one.exactAreaM2, because: 'cells under a 5.5th of the radius' });
    worstExact = Math.max(worstExact, Math.abs(areaM2 / one.exactAreaM2 - 1));
  });

  test('bands between levels have the areas of the rings between circles', () => {
    const grid = hillGrid(1.25);
    for (const { lower, upper, exactAreaM2 } of cases.gaussianHill.bandAreas) {
      const band = subtract(contourAtLevel(grid, lower), contourAtLevel(grid, upper));
      expect(band).toHaveLength(1);
      expect(band[0]).toHaveLength(2);
      closeTo(polygonAreaM2(band), exactAreaM2, {
        within: 1.5e-3 * exactAreaM2,
        because: 'second order in cells of 1.25 m: 0.3 (h/r)² at each circle, and which cells a contour cuts',
      });
    }
  });

  test('the sum of cells above a level is the mass of the hill there', () => {
    const cellM = 1.25;
    const grid = hillGrid(cellM);
    for (const { level, exactMass } of cases.gaussianHill.massAbove) {
      const [ring] = contourAtLevel(grid, level)[0]!;
      let mass = 0;
      for (const value of grid.values) if (value >= level) mass += value * cellM * cellM;
      const rim = 0.5 * cellM * polygonPerimeterM([[ring!]]) * level;
      closeTo(mass, exactMass, { within: rim, because: 'cells on the rim are in or out as a whole' });
    }
  });

  test('the largest difference is noted', () => {
    recordAgreement('contour-zone', 'marching squares against the reference', worst, 1e-9, 'of the area');
    recordAgreement('contour-zone', 'area of a hill, cells under r/5.5, exact', worstExact, 0.01, 'of the area');
    expect(cases.gaussianHill.levels).toHaveLength(20);
  });
});

describe('shapes with exact answers', () => {
  test.each([20, 7, 2.5, 1])('the level of a plane is exact with cells of %f m', (cellM) => {
    const { level, exactAreaAboveM2 } = cases.plane;
    const columns = Math.ceil(100 / cellM) + 2;
    const grid = gridOf(-cellM, -cellM, columns, columns, cellM, (x, y) => 0.3 * x + 0.1 * y);
    const above = intersect(contourAtLevel(grid, level), rectangle(0, 0, 100, 100));
    closeTo(polygonAreaM2(above), exactAreaAboveM2, { within: 5e-5 * 800, because: 'the cut on the 0.1 mm grid' });
  });

  test.each(cases.saddle)('a saddle with corners $corners is joined: $joined', ({ corners, level, ...expected }) => {
    const [a, b, c, d] = corners; // counter-clockwise from the lower left
    const grid: Grid = { x0M: 0, y0M: 0, columns: 2, rows: 2, cellM: 100, values: Float64Array.of(a, b, d, c) };
    const between = intersect(contourAtLevel(grid, level), rectangle(50, 50, 150, 150));
    closeTo(polygonAreaM2(between) / 1e4, expected.areaAbove, {
      within: 1e-5,
      because: 'a square of 100 m on the 0.1 mm grid',
    });
    expect(between.length === 1, 'one part').toBe(expected.joined);
  });

  test('a band about a centre is one polygon with a hole', () => {
    const { level, exactAreaM2 } = cases.holeInBand;
    const error = (cellM: number) => {
      const side = Math.ceil(200 / cellM);
      const band = contourAtLevel(
        gridOf(-100.3, -100.7, side, side, cellM, (x, y) => Math.exp(-(((Math.hypot(x, y) - 60) / 15) ** 2))),
        level,
      );
      expect(band).toHaveLength(1);
      expect(band[0]).toHaveLength(2);
      expect(ringAreaM2(band[0]![0]!)).toBeGreaterThan(0);
      expect(ringAreaM2(band[0]![1]!)).toBeLessThan(0);
      return polygonAreaM2(band) / exactAreaM2 - 1;
    };
    closeTo(error(2), 0, { within: 0.01, because: 'band of 30 m in cells of 2 m' });
    closeTo(error(1), 0, { within: 0.0025, because: 'second order: half the cell, a quarter of the error' });
  });

  test('a hill cut by the boundary has the area of half a circle', () => {
    const { level, exactAreaM2 } = cases.boundary;
    const half = intersect(contourAtLevel(hillGrid(1.25), level), rectangle(-300, -300, 0, 300));
    closeTo(polygonAreaM2(half), exactAreaM2, {
      within: 1e-4 * exactAreaM2,
      because: 'marching squares at 1.25 m is 5e-6 off; the cut is on the 0.1 mm grid',
    });
  });

  test('areas of all bands and the unknown cells add up to the grid', () => {
    const known = hillGrid(10);
    const values = Float64Array.from(known.values, (value, i) => ((i * 2654435761) % 101 < 23 ? NaN : value));
    const grid: Grid = { ...known, values };
    const unknown = values.reduce((sum, value) => sum + (Number.isNaN(value) ? 1 : 0), 0);
    expect(unknown).toBeGreaterThan(100);
    const levels = [-1, 0.5, 1, 2.5, 5, 9, 11];
    const areas = levels.map((level) => contourAtLevel(grid, level));
    const totalM2 = grid.columns * grid.rows * 100;
    let bandsM2 = 0;
    for (let i = 0; i + 1 < levels.length; i++) {
      bandsM2 += polygonAreaM2(areas[i]!) - polygonAreaM2(areas[i + 1]!);
      const stickingOut = polygonAreaM2(subtract(areas[i + 1]!, areas[i]!));
      closeTo(stickingOut, 0, {
        within: 5e-5 * (polygonPerimeterM(areas[i]!) + polygonPerimeterM(areas[i + 1]!)),
        because: 'a higher level lies inside a lower one',
      });
    }
    closeTo(bandsM2 + unknown * 100, totalM2, { within: 1e-9 * totalM2, because: 'nothing is counted twice or lost' });
  });
});

describe('simplifying a zone', () => {
  const shapes: Record<string, FlatRing> = {
    'smooth-2000': wobble(2000, 150, 0.15, 3, 0.04, 17),
    'circle-360': wobble(360, 100, 0, 1, 0, 1),
    'stairs-5m': stairs(wobble(400, 150, 0.15, 3, 0.04, 7), 5),
  };

  /** Cells whose centre is inside, as one ring. */
  function stairs(ring: FlatRing, cellM: number): FlatRing {
    const cells: FlatMultiPolygon[] = [];
    const centreInside = (x: number, y: number) => {
      let inside = false;
      for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2) {
        if (ring[i + 1]! > y === ring[j + 1]! > y) continue;
        if (x < ((ring[j]! - ring[i]!) * (y - ring[i + 1]!)) / (ring[j + 1]! - ring[i + 1]!) + ring[i]!)
          inside = !inside;
      }
      return inside;
    };
    for (let y = -200; y < 200; y += cellM) {
      for (let x = -200; x < 200; x += cellM) {
        if (centreInside(x + cellM / 2, y + cellM / 2)) cells.push(rectangle(x, y, x + cellM, y + cellM));
      }
    }
    // GEOS keeps a corner wherever two cells meet along a straight side.
    const outline = union(cells)[0]![0]!;
    const corners: number[] = [];
    for (let i = 0; i < outline.length; i += 2) {
      const j = (i + 2) % outline.length;
      const steps = Math.round(Math.hypot(outline[j]! - outline[i]!, outline[j + 1]! - outline[i + 1]!) / cellM);
      for (let k = 0; k < steps; k++) {
        corners.push(
          outline[i]! + ((outline[j]! - outline[i]!) * k) / steps,
          outline[i + 1]! + ((outline[j + 1]! - outline[i + 1]!) * k) / steps,
        );
      }
    }
    return Float64Array.from(corners);
  }

  let worst = 0;
  let worstKept = 0;
  test.each(cases.simplify.results)('$shape at $tolerance m', ({ shape, tolerance, ...expected }) => {
    const ring = shapes[shape]!;
    expect(ring.length / 2).toBe(expected.corners);
    closeTo(ringAreaM2(ring), expected.areaM2, { within: 1e-9 * expected.areaM2, because: 'the same shape' });
    // GEOS's union starts the stairs at a corner of its own; one of the starts must give its answer.
    const starts = shape === 'stairs-5m' ? ring.length / 2 : 1;
    const answers = Array.from({ length: starts }, (_, start) => {
      const moved = Float64Array.from([...ring.subarray(2 * start), ...ring.subarray(0, 2 * start)]);
      return [moved, moved.slice().reverse()].slice(0, shape === 'stairs-5m' ? 2 : 1).flatMap((one, mirrored) => {
        // Corners of the stairs lie at 3 m exactly (sides 3, 4, 5); rounding decides, so a hair is given.
        const simple = simplifyRing(mirrored === 1 ? swapped(one) : one, tolerance * (1 + 1e-12));
        return [{ corners: simple.length / 2, areaM2: Math.abs(ringAreaM2(simple)) }];
      });
    }).flat();
    const best = answers
      .filter(({ corners }) => corners === expected.douglasPeucker.corners)
      .map(({ areaM2 }) => Math.abs(areaM2 / expected.douglasPeucker.areaM2 - 1))
      .sort((a, b) => a - b)[0];
    closeTo(best ?? Infinity, 0, { within: 1e-9, because: 'Douglas–Peucker as GEOS does it' });
    worst = Math.max(worst, best!);

    const kept = simplifyKeepingArea([[ring]], tolerance);
    closeTo(kept.areaAfterM2, kept.areaBeforeM2, {
      within: 0.005 * kept.areaBeforeM2,
      because: 'the area is restored, or the tolerance halved',
    });
    expect(checkPolygon(kept.polygon)).toEqual([]);
    expect(kept.polygon[0]![0]!.length).toBeLessThan(ring.length);
    worstKept = Math.max(worstKept, Math.abs(kept.areaAfterM2 / kept.areaBeforeM2 - 1));
  });

  function swapped(reversed: Float64Array): FlatRing {
    const ring = new Float64Array(reversed.length);
    for (let i = 0; i < ring.length; i += 2) {
      ring[i] = reversed[i + 1]!;
      ring[i + 1] = reversed[i]!;
    }
    return ring;
  }

  test('the largest difference is noted', () => {
    recordAgreement('contour-zone', 'Douglas–Peucker area against GEOS', worst, 1e-9, 'of the area');
    recordAgreement('contour-zone', 'area after simplifying and restoring', worstKept, 0.005, 'of the area');
    expect(cases.simplify.results).toHaveLength(9);
  });
});

describe('minimum width by opening', () => {
  let worst = 0;
  test.each(cases.minimumWidth.results)('$shape, $widthM m, $join', ({ shape, widthM, join, ...expected }) => {
    const given = cases.minimumWidth.shapes[shape]!;
    const ring =
      typeof given === 'string' ? wobble(720, 90, 0.35, 3, 0.12, 11) : Float64Array.from(given.slice(0, -1).flat());
    const zone = [[ringIsClockwise(ring) ? reverseRing(ring) : ring]];
    const style = { join, quadrantSegments: 32, mitreLimit: 5 };
    const because = 'the same chords, on the grid of 0.1 mm';
    const within = 1e-6 * expected.areaM2 + 5e-5 * polygonPerimeterM(zone);
    const share = (areaM2: number) => Math.abs(areaM2 - expected.openedAreaM2) / within;
    closeTo(polygonAreaM2(buffer(zone, -widthM / 2, style)), expected.erodedAreaM2, { within, because });
    const opened = openByWidth(zone, widthM, style).filter((part) => polygonAreaM2([part]) > 0.01);
    closeTo(polygonAreaM2(opened), expected.openedAreaM2, { within, because });
    closeTo(expected.areaM2 - polygonAreaM2(opened), expected.lostAreaM2, { within, because });
    expect(opened).toHaveLength(expected.parts);
    worst = Math.max(worst, share(polygonAreaM2(opened)));
  });
  test('the largest difference is noted', () => {
    recordAgreement('contour-zone', 'opened areas against GEOS, share of the tolerance', worst, 1, '');
    expect(cases.minimumWidth.results).toHaveLength(40);
  });
});
