/** An area cut along a line: each stretch that runs through it from edge to edge parts it, a stretch that ends inside does not. */
import { bufferLine, dropSlivers, intersect, subtract, union } from '../geometry/clip.ts';
import { polygonAreaM2 } from '../geometry/polygon.ts';
import { indexPolygon } from '../geometry/polygon-index.ts';
import type { FlatMultiPolygon } from '../geometry/types.ts';

/** Half the width of the blade: what it cuts away goes back to the piece beside it, so that no ground is lost. */
const BLADE_M = 2e-4;
/** How far the blade reaches past an edge. */
const PAST_M = 2e-3;
/** An end that stops this far short of the edge was meant to reach it. */
const SHORT_M = 1;

/**
 * @param line x0, y0, x1, y1, …; metres
 * @returns the pieces, connected each; one piece (the area as it is) where nothing is parted. Their areas add up to the area's.
 * The edge between two pieces lies within 0.2 mm of the line.
 */
export function cutByLine(area: FlatMultiPolygon, line: Float64Array): FlatMultiPolygon[] {
  const blade = union(
    chordsThrough(area, drawnOut(line, SHORT_M)).map((chord) => bufferLine(chord, BLADE_M, { ends: 'flat' })),
  );
  if (blade.length === 0) return [area];
  const pieces = dropSlivers(subtract(area, blade)).polygon.map((polygon): FlatMultiPolygon => [polygon]);
  if (pieces.length <= area.length) return [area];
  // Parts that the line does not touch stay with the largest piece of what it cut.
  const untouched = pieces.filter((piece) => area.some((polygon) => same(piece, [polygon])));
  const cut = pieces.filter((piece) => !untouched.includes(piece)).sort((a, b) => polygonAreaM2(b) - polygonAreaM2(a));
  const shavings = intersect(area, blade).map((polygon): FlatMultiPolygon => [polygon]);
  return cut.map((piece, index) => {
    const own = shavings.filter((one) => cut.findIndex((other) => touches(one, other)) === index);
    return union([piece, ...own, ...(index === 0 ? untouched : [])]);
  });
}

function same(a: FlatMultiPolygon, b: FlatMultiPolygon): boolean {
  return Math.abs(polygonAreaM2(a) - polygonAreaM2(b)) < 1e-6 && polygonAreaM2(subtract(a, b)) < 1e-3;
}

function touches(shaving: FlatMultiPolygon, piece: FlatMultiPolygon): boolean {
  return union([shaving, piece]).length === 1;
}

/** Stretches of the line inside the area that begin and end on its edge. */
function chordsThrough(area: FlatMultiPolygon, line: Float64Array): Float64Array[] {
  const index = indexPolygon(area);
  const runs: { readonly from: number; to: number; readonly line: number[] }[] = [];
  let stretches = 0;
  for (let i = 2; i < line.length; i += 2) {
    const [ax, ay, bx, by] = [line[i - 2]!, line[i - 1]!, line[i]!, line[i + 1]!];
    const at = (t: number) => [ax + t * (bx - ax), ay + t * (by - ay)] as const;
    const cuts = [0, ...crossings(area, ax, ay, bx, by), 1];
    for (let k = 1; k < cuts.length; k++) {
      const [from, to] = [cuts[k - 1]!, cuts[k]!];
      if (to - from < 1e-12) continue;
      const number = stretches++;
      if (!index.contains(...at((from + to) / 2))) continue;
      const last = runs.at(-1);
      if (last?.to === number - 1) {
        last.line.push(...at(to));
        last.to = number;
      } else runs.push({ from: number, to: number, line: [...at(from), ...at(to)] });
    }
  }
  // What begins or ends inside has no edge there: it parts nothing.
  return runs
    .filter((run) => run.from > 0 && run.to < stretches - 1)
    .map((run) => drawnOut(Float64Array.from(run.line), PAST_M));
}

/** Where a stretch meets the edges of an area, as shares of it, in order. */
function crossings(area: FlatMultiPolygon, ax: number, ay: number, bx: number, by: number): number[] {
  const found: number[] = [];
  for (const ring of area.flat()) {
    for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2) {
      const [cx, cy, dx, dy] = [ring[j]!, ring[j + 1]!, ring[i]!, ring[i + 1]!];
      const turn = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx);
      if (turn === 0) continue;
      const t = ((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx)) / turn;
      const u = ((cx - ax) * (by - ay) - (cy - ay) * (bx - ax)) / turn;
      if (t > 0 && t < 1 && u >= 0 && u <= 1) found.push(t);
    }
  }
  return found.sort((a, b) => a - b);
}

/** A line with both ends drawn out in their own direction. */
function drawnOut(line: Float64Array, byM: number): Float64Array {
  const out = line.slice();
  const pull = (end: number, before: number) => {
    const [dx, dy] = [line[end]! - line[before]!, line[end + 1]! - line[before + 1]!];
    const lengthM = Math.hypot(dx, dy);
    if (lengthM === 0) return;
    out[end] = line[end]! + (dx / lengthM) * byM;
    out[end + 1] = line[end + 1]! + (dy / lengthM) * byM;
  };
  pull(0, 2);
  pull(line.length - 2, line.length - 4);
  return out;
}
