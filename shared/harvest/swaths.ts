/**
 * Swath quadrilaterals: the ground that the cutter bar passes over between two records.
 * @source methods-season §2.2; tests/reference/harvest-path (newly-cut-area)
 */

export interface SwathQuads {
  /** Eight numbers a segment: rear left, rear right, front right, front left (counter-clockwise); m. */
  readonly cornersM: Float64Array;
  /** Exact area of the quadrilateral; 0 where the segment cuts nothing. */
  readonly areaM2: Float64Array;
  /** Sum of the quadrilaterals' areas, overlaps counted twice. */
  readonly grossM2: number;
}

/** Shorter steps are a standing machine: the next quadrilateral begins where the last one ended. */
const STANDING_M = 0.05;

/**
 * One quadrilateral for each segment k → k+1 that cuts. Joints up to `mitreDeg` share one mitred edge along the bisector
 * of the two right-hand vectors, (w/2)/cos(turn/2) long each side: a mitred strip has exactly length × width, and
 * neighbours neither gap nor overlap. Sharper joints and the ends of a run are cut square. Where the bend is so tight that
 * the inner side would fold (radius below w/2) the inner end of the shared edge stops at half the shorter step.
 * @param xM, yM path of the cutter bar's middle; n points
 * @param cutting 1 where segment k → k+1 cuts; n
 * @param widthM cut width of segment k → k+1; NaN or 0 cuts nothing
 * @cost O(n)
 */
export function swathQuads(
  xM: Float64Array,
  yM: Float64Array,
  cutting: Uint8Array,
  widthM: ArrayLike<number>,
  { mitreDeg = 45 } = {},
): SwathQuads {
  const count = xM.length;
  const corners = new Float64Array(8 * count);
  const areaM2 = new Float64Array(count);
  const cosMitre = Math.cos((mitreDeg * Math.PI) / 180) - 1e-12;
  let grossM2 = 0;

  // The segment before in the same run, its direction and length; −1 at the start of a run.
  let before = -1;
  let beforeUx = 0;
  let beforeUy = 0;
  let beforeLengthM = 0;
  let startX = 0;
  let startY = 0;
  let running = false;

  const close = (k: number) => {
    if (k < 0) return;
    areaM2[k] = quadAreaM2(corners, 8 * k);
    grossM2 += areaM2[k]!;
  };

  for (let k = 0; k + 1 < count; k++) {
    if (cutting[k] === 0 || !(widthM[k]! > 0)) {
      close(before);
      before = -1;
      running = false;
      continue;
    }
    if (!running) {
      startX = xM[k]!;
      startY = yM[k]!;
      running = true;
    }
    const endX = xM[k + 1]!;
    const endY = yM[k + 1]!;
    const dx = endX - startX;
    const dy = endY - startY;
    const lengthM = Math.sqrt(dx * dx + dy * dy);
    if (lengthM < STANDING_M) continue;
    const ux = dx / lengthM;
    const uy = dy / lengthM;
    const half = widthM[k]! / 2;
    const at = 8 * k;

    const cosTurn = before < 0 ? -1 : beforeUx * ux + beforeUy * uy;
    if (before >= 0 && cosTurn >= cosMitre) {
      let mx = beforeUy + uy;
      let my = -(beforeUx + ux);
      const size = Math.sqrt(mx * mx + my * my);
      mx /= size;
      my /= size;
      const stretch = 1 / Math.sqrt((1 + Math.min(1, cosTurn)) / 2);
      const sinHalf = Math.sqrt(Math.max(0, 1 - cosTurn) / 2);
      const innerM = sinHalf > 0 ? (0.5 * Math.min(beforeLengthM, lengthM)) / sinHalf : Infinity;
      const turnsLeft = beforeUx * uy - beforeUy * ux > 0;
      const beforeAt = 8 * before;
      const beforeOuter = (widthM[before]! / 2) * stretch;
      const beforeInner = Math.min(beforeOuter, innerM);
      const outer = half * stretch;
      const inner = Math.min(outer, innerM);
      const beforeLeft = turnsLeft ? beforeInner : beforeOuter;
      const beforeRight = turnsLeft ? beforeOuter : beforeInner;
      const left = turnsLeft ? inner : outer;
      const right = turnsLeft ? outer : inner;
      corners[beforeAt + 4] = startX + beforeRight * mx;
      corners[beforeAt + 5] = startY + beforeRight * my;
      corners[beforeAt + 6] = startX - beforeLeft * mx;
      corners[beforeAt + 7] = startY - beforeLeft * my;
      corners[at] = startX - left * mx;
      corners[at + 1] = startY - left * my;
      corners[at + 2] = startX + right * mx;
      corners[at + 3] = startY + right * my;
    } else {
      corners[at] = startX - half * uy;
      corners[at + 1] = startY + half * ux;
      corners[at + 2] = startX + half * uy;
      corners[at + 3] = startY - half * ux;
    }
    close(before);
    // Square for now; the next joint of the run moves it onto the mitre.
    corners[at + 4] = endX + half * uy;
    corners[at + 5] = endY - half * ux;
    corners[at + 6] = endX - half * uy;
    corners[at + 7] = endY + half * ux;
    before = k;
    beforeUx = ux;
    beforeUy = uy;
    beforeLengthM = lengthM;
    startX = endX;
    startY = endY;
  }
  close(before);
  return { cornersM: corners, areaM2, grossM2 };
}

function quadAreaM2(c: Float64Array, at: number): number {
  const x0 = c[at]!;
  const y0 = c[at + 1]!;
  const ax = c[at + 2]! - x0;
  const ay = c[at + 3]! - y0;
  const bx = c[at + 4]! - x0;
  const by = c[at + 5]! - y0;
  const dx = c[at + 6]! - x0;
  const dy = c[at + 7]! - y0;
  return Math.max(0, (ax * by - ay * bx + bx * dy - by * dx) / 2);
}
