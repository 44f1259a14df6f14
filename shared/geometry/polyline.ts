/**
 * Lines in metres of the frame: x0, y0, x1, y1, …
 */

/** Length of a line, m. */
export function lengthM(line: Float64Array): number {
  let sumM = 0;
  for (let i = 2; i < line.length; i += 2) {
    const dx = line[i]! - line[i - 2]!;
    const dy = line[i + 1]! - line[i - 1]!;
    sumM += Math.sqrt(dx * dx + dy * dy);
  }
  return sumM;
}

/**
 * The place a distance along a line, and the heading there.
 * @param distanceM from the start; held within the line
 * @returns x, y in metres; degrees clockwise from the frame's north, 0 for a line without length
 * @throws RangeError for an empty line
 */
export function pointAlong(line: Float64Array, distanceM: number): { x: number; y: number; headingDeg: number } {
  if (line.length < 2) throw new RangeError('pointAlong: expected at least one point');
  let left = Math.max(0, distanceM);
  let end = { x: line[0]!, y: line[1]!, headingDeg: 0 };
  for (let i = 2; i < line.length; i += 2) {
    const dx = line[i]! - line[i - 2]!;
    const dy = line[i + 1]! - line[i - 1]!;
    const stretchM = Math.sqrt(dx * dx + dy * dy);
    if (stretchM === 0) continue;
    const turned = (Math.atan2(dx, dy) * 180) / Math.PI;
    const headingDeg = turned < 0 ? turned + 360 : turned;
    if (left <= stretchM) {
      const share = left / stretchM;
      return { x: line[i - 2]! + share * dx, y: line[i - 1]! + share * dy, headingDeg };
    }
    left -= stretchM;
    end = { x: line[i]!, y: line[i + 1]!, headingDeg };
  }
  return end;
}

/**
 * The line with fewer points, none of the dropped ones further than the tolerance from what is left (Douglas–Peucker).
 * Both ends are kept. A closed line is split first at the point furthest from its start.
 * @param toleranceM m; at or above 0
 * @cost O(n log n) as a rule, O(n²) at worst
 * @source Douglas & Peucker 1973 (memory); tests/reference/polygon-ops (GEOS)
 */
export function simplifyLine(line: Float64Array, toleranceM: number): Float64Array {
  if (!(toleranceM >= 0)) throw new RangeError(`simplifyLine: expected a tolerance at or above 0 m, got ${toleranceM}`);
  const count = line.length / 2;
  if (count < 3) return line.slice();
  const keep = new Uint8Array(count);
  keep[0] = keep[count - 1] = 1;
  const limit2 = toleranceM * toleranceM;
  const open: [number, number][] = [[0, count - 1]];
  for (let range = open.pop(); range !== undefined; range = open.pop()) {
    const [first, last] = range;
    const ax = line[2 * first]!;
    const ay = line[2 * first + 1]!;
    const dx = line[2 * last]! - ax;
    const dy = line[2 * last + 1]! - ay;
    const length2 = dx * dx + dy * dy;
    let furthest = -1;
    let furthest2 = limit2;
    for (let i = first + 1; i < last; i++) {
      const px = line[2 * i]! - ax;
      const py = line[2 * i + 1]! - ay;
      const along = length2 === 0 ? 0 : Math.min(1, Math.max(0, (px * dx + py * dy) / length2));
      const rx = px - along * dx;
      const ry = py - along * dy;
      const off2 = rx * rx + ry * ry;
      if (off2 > furthest2) {
        furthest2 = off2;
        furthest = i;
      }
    }
    if (furthest < 0) continue;
    keep[furthest] = 1;
    open.push([first, furthest], [furthest, last]);
  }
  const kept: number[] = [];
  for (let i = 0; i < count; i++) if (keep[i] === 1) kept.push(line[2 * i]!, line[2 * i + 1]!);
  return Float64Array.from(kept);
}
