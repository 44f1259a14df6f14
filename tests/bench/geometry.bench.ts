/**
 * Areas, overlays and point in polygon beside GEOS (geos-wasm) and beside the plain even-odd test, in the same run, on the
 * same invented shapes; both sides start from flat arrays. The answers are compared before any time is told.
 */
import { intersect, union } from '../../shared/geometry/clip.ts';
import { indexPolygon } from '../../shared/geometry/polygon-index.ts';
import { ringAreaM2 } from '../../shared/geometry/ring.ts';
import type { FlatMultiPolygon, FlatRing } from '../../shared/geometry/types.ts';
import { stream } from '../../shared/statistics/random.ts';
import { Geos } from './geos.ts';
import { type Row, row } from './row.ts';
import { type Job, tell, timeInTurn } from './timing.ts';

const REPEATS = 5;
const random = stream(20_261_125, 'geometry bench');

export async function run(): Promise<{ rows: Row[] }> {
  const geos = await Geos.start();
  return { rows: [areas(geos), unions(geos), intersections(geos), ...points(geos)] };
}

function areas(geos: Geos): Row {
  const rings = Array.from({ length: 10_000 }, () => star(60, 100, 1000 * random.uniform(), 1000 * random.uniform()));
  const ours = () => rings.reduce((sum, ring) => sum + ringAreaM2(ring), 0);
  const theirs = () => {
    let sum = 0;
    for (const ring of rings) {
      const geometry = geos.area([[ring]]);
      sum += geos.areaM2(geometry);
      geos.destroy(geometry);
    }
    return sum;
  };
  return beside('areas of 10 000 rings of 60 corners', ours, theirs, 1e-11);
}

function unions(geos: Geos): Row {
  const swaths = swathQuadrilaterals(2000);
  const ours = () => areaM2(union(swaths));
  return beside('union of 2 000 swath quadrilaterals', ours, () => geos.unionAreaM2(swaths), 1e-5);
}

function intersections(geos: Geos): Row {
  const pairs = Array.from({ length: 500 }, () => [
    [[star(60, 100, 0, 0)]],
    [[star(60, 100, 80 * random.uniform(), 0)]],
  ]);
  const sum = (of: (a: FlatMultiPolygon, b: FlatMultiPolygon) => number) =>
    pairs.reduce((total, [a, b]) => total + of(a!, b!), 0);
  const ours = () => sum((a, b) => areaM2(intersect(a, b)));
  return beside(
    '500 intersections of rings of 60 corners',
    ours,
    () => sum((a, b) => geos.intersectionAreaM2(a, b)),
    1e-6,
  );
}

function points(geos: Geos): Row[] {
  const polygon: FlatMultiPolygon = [[star(300, 400, 0, 0), star(60, 100, 0, 0).reverse()]];
  turnPairs(polygon[0]![1]!);
  const count = 200_000;
  const xM = Float64Array.from({ length: count }, () => 1000 * random.uniform() - 500);
  const yM = Float64Array.from({ length: count }, () => 1000 * random.uniform() - 500);
  const byStrips = () => {
    const index = indexPolygon(polygon);
    let inside = 0;
    for (let i = 0; i < count; i++) if (index.contains(xM[i]!, yM[i]!)) inside++;
    return inside;
  };
  const plainly = () => {
    let inside = 0;
    for (let i = 0; i < count; i++) if (evenOdd(polygon, xM[i]!, yM[i]!)) inside++;
    return inside;
  };
  const what = '200 000 places in a polygon of 360 corners with a hole';
  return [
    beside(what, byStrips, () => geos.countInside(polygon, xM, yM), 0),
    beside(what, byStrips, plainly, 0, 'plain even-odd'),
  ];
}

/** @param within relative difference of the two answers that is rounding; more throws */
function beside(what: string, ours: () => number, theirs: () => number, within: number, name = 'geos-wasm'): Row {
  const [mine, judge] = [ours(), theirs()];
  const apart = Math.abs(mine - judge) / Math.abs(judge);
  if (!(apart <= within)) throw new Error(`${what}: ${mine} here, ${judge} by ${name}`);
  const jobs: Job[] = [
    { name: 'ours', run: ours },
    { name, run: theirs },
  ];
  const [a, b] = timeInTurn(jobs, REPEATS);
  const ratio = b!.cpuS / a!.cpuS;
  console.log(`${what}: answers ${apart === 0 ? 'equal' : `${apart.toExponential(1)} apart`}`);
  console.log(`  ours            ${tell(a!)}`);
  console.log(`  ${name.padEnd(15)} ${tell(b!)}`);
  console.log(`  ratio ${name} / ours, CPU time: ${ratio.toFixed(2)}`);
  return row(`${what}: CPU time of ${name} over ours`, ratio, '');
}

function evenOdd(polygon: FlatMultiPolygon, x: number, y: number): boolean {
  let inside = false;
  for (const rings of polygon) {
    for (const ring of rings) {
      for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2) {
        const yi = ring[i + 1]!;
        const yj = ring[j + 1]!;
        if (yi > y !== yj > y && x < ((ring[j]! - ring[i]!) * (y - yi)) / (yj - yi) + ring[i]!) inside = !inside;
      }
    }
  }
  return inside;
}

function areaM2(polygons: FlatMultiPolygon): number {
  let sum = 0;
  for (const rings of polygons) for (const ring of rings) sum += ringAreaM2(ring);
  return sum;
}

/** A ring about a place, its corners 0.7–1.3 radii away, counter-clockwise: it never crosses itself. */
function star(corners: number, radiusM: number, x: number, y: number): FlatRing {
  const ring = new Float64Array(2 * corners);
  for (let i = 0; i < corners; i++) {
    const angle = (2 * Math.PI * i) / corners;
    const r = radiusM * (0.7 + 0.6 * random.uniform());
    ring[2 * i] = x + r * Math.cos(angle);
    ring[2 * i + 1] = y + r * Math.sin(angle);
  }
  return ring;
}

/** After `reverse()` of a flat ring, x and y have changed places. */
function turnPairs(ring: FlatRing): void {
  for (let i = 0; i < ring.length; i += 2) [ring[i], ring[i + 1]] = [ring[i + 1]!, ring[i]!];
}

/** One quadrilateral a second along passes 8.7 m apart, 9 m wide, wandering by some centimetres. */
function swathQuadrilaterals(count: number): FlatMultiPolygon[] {
  const perPass = 200;
  return Array.from({ length: count }, (_, k) => {
    const pass = Math.floor(k / perPass);
    const x = 2 * (k % perPass);
    const y = 8.7 * pass + 0.1 * random.uniform();
    return [[Float64Array.of(x, y - 4.5, x + 2.02, y - 4.5, x + 2.02, y + 4.5, x, y + 4.5)]];
  });
}
