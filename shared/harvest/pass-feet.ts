/** Where neighboring passes that run in opposite directions lie beside each other. */
const MOST_PAIRS = 40;
/** Fewer say nothing of how two passes agree. */
export const FEWEST_FEET = 10;

export interface PassPlaces {
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  readonly widthM: ArrayLike<number>;
  readonly headingDeg: ArrayLike<number>;
  /** Pass of each point, −1 outside; passes are runs. */
  readonly pass: Int32Array;
}

/** One place of a pass and its foot on the neighbour: between points b and b + 1, `share` of the way. */
export interface Feet {
  readonly a: Uint32Array;
  readonly b: Uint32Array;
  readonly share: Float64Array;
}

/** Feet of each pair of adjacent opposite passes (distance ≤ 1.2 w, headings more than 150° apart), at most 40 pairs spread over the log. */
export function neighbourFeet(log: PassPlaces): Feet[] {
  const passes = passBoxes(log);
  const candidates: [number, number][] = [];
  for (let i = 0; i < passes.length; i++) {
    for (let j = i + 1; j < passes.length; j++) {
      const p = passes[i]!;
      const q = passes[j]!;
      const reach = 1.2 * Math.max(p.widthM, q.widthM);
      if (p.ux * q.ux + p.uy * q.uy > Math.cos((150 * Math.PI) / 180)) continue;
      if (p.minX > q.maxX + reach || q.minX > p.maxX + reach) continue;
      if (p.minY > q.maxY + reach || q.minY > p.maxY + reach) continue;
      // Middle of one beside the other's axis: a quick no for passes far apart on one slope.
      const aside = Math.abs((q.midX - p.midX) * p.uy - (q.midY - p.midY) * p.ux);
      if (aside > 3 * reach + Math.max(p.bendM, q.bendM)) continue;
      candidates.push([i, j]);
    }
  }
  const found: Feet[] = [];
  // Evenly spread: every second, then those between, until enough pairs hold.
  for (const index of spread(candidates.length)) {
    if (found.length >= MOST_PAIRS) break;
    const [i, j] = candidates[index]!;
    const feet = feetOf(log, passes[i]!, passes[j]!);
    if (feet !== null) found.push(feet);
  }
  return found;
}

function* spread(count: number): Generator<number> {
  let stride = 1;
  while (stride * MOST_PAIRS < count) stride *= 2;
  for (let i = 0; i < count; i += stride) yield i;
  for (; stride > 1; stride /= 2) for (let i = stride / 2; i < count; i += stride) yield i;
}

interface PassBox {
  readonly from: number;
  readonly to: number;
  readonly widthM: number;
  readonly ux: number;
  readonly uy: number;
  readonly midX: number;
  readonly midY: number;
  readonly bendM: number;
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

function passBoxes({ pass, xM, yM, widthM }: PassPlaces): PassBox[] {
  const boxes: PassBox[] = [];
  for (let from = 0; from < pass.length;) {
    let to = from + 1;
    while (to < pass.length && pass[to] === pass[from]) to++;
    const dx = xM[to - 1]! - xM[from]!;
    const dy = yM[to - 1]! - yM[from]!;
    const length = Math.sqrt(dx * dx + dy * dy);
    if (pass[from]! >= 0 && to - from >= FEWEST_FEET && length > 0) {
      let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
      let bendM = 0;
      let width = 0;
      for (let k = from; k < to; k++) {
        minX = Math.min(minX, xM[k]!);
        maxX = Math.max(maxX, xM[k]!);
        minY = Math.min(minY, yM[k]!);
        maxY = Math.max(maxY, yM[k]!);
        bendM = Math.max(bendM, Math.abs((xM[k]! - xM[from]!) * dy - (yM[k]! - yM[from]!) * dx) / length);
        if (widthM[k]! > width) width = widthM[k]!;
      }
      boxes.push({
        from,
        to,
        widthM: width,
        ux: dx / length,
        uy: dy / length,
        midX: (xM[from]! + xM[to - 1]!) / 2,
        midY: (yM[from]! + yM[to - 1]!) / 2,
        bendM,
        minX,
        minY,
        maxX,
        maxY,
      });
    }
    from = to;
  }
  return boxes;
}

/** Foot points of pass p on pass q, marching both ways at once; null where too few lie within reach. */
function feetOf({ xM, yM, headingDeg }: PassPlaces, p: PassBox, q: PassBox): Feet | null {
  const reach2 = (1.2 * Math.max(p.widthM, q.widthM)) ** 2;
  const a: number[] = [];
  const b: number[] = [];
  const shares: number[] = [];
  // q runs the other way: its segments are walked from its end as p advances.
  let j = q.to - 2;
  for (let k = p.from; k < p.to; k++) {
    const px = xM[k]!;
    const py = yM[k]!;
    const along = (s: number) => {
      const dx = xM[s + 1]! - xM[s]!;
      const dy = yM[s + 1]! - yM[s]!;
      const size2 = dx * dx + dy * dy;
      return size2 > 0 ? ((px - xM[s]!) * dx + (py - yM[s]!) * dy) / size2 : 0.5;
    };
    let share = along(j);
    while (share < 0 && j > q.from) share = along(--j);
    while (share > 1 && j < q.to - 2 && along(j + 1) >= 0) share = along(++j);
    // A place exactly on the last point is a foot, rounding allowed.
    if (share < -1e-9 || share > 1 + 1e-9) continue;
    if (share < 1e-9) share = 0;
    else if (share > 1 - 1e-9) share = 1;
    const fx = xM[j]! + share * (xM[j + 1]! - xM[j]!);
    const fy = yM[j]! + share * (yM[j + 1]! - yM[j]!);
    if ((fx - px) ** 2 + (fy - py) ** 2 > reach2) continue;
    const turn = Math.abs(((headingDeg[k]! - headingDeg[j]! + 540) % 360) - 180);
    if (turn <= 150) continue;
    a.push(k);
    b.push(share === 1 ? j + 1 : j);
    shares.push(share === 1 ? 0 : share);
  }
  if (a.length < FEWEST_FEET) return null;
  return { a: Uint32Array.from(a), b: Uint32Array.from(b), share: Float64Array.from(shares) };
}
