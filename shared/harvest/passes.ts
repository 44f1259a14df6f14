/**
 * Passes: the runs with the header down that a person would call one row up the field, and the heading they need.
 * @source methods-season §2.1; tests/reference/harvest-path (passes)
 */

const RADIAN = Math.PI / 180;

export interface PassLimits {
  readonly gapS: number;
  /** A heading further than this from the circular mean of the pass's last five records ends the pass; degrees. */
  readonly turnDeg: number;
  readonly minRecords: number;
}

/**
 * Pass id of each record, −1 outside. A pass ends at header up, at a gap, or where the heading leaves the circular mean
 * of the pass's last five records by more than the limit: the running mean lets a contour turn through 180° and stay one
 * pass, while a turn at a row's end splits. Fewer than `minRecords` are no pass. A record without heading stays in.
 * @param headingDeg clockwise from north; NaN where unknown
 * @param breakBefore 1 where the log breaks off for another reason than time
 * @returns ids 0, 1, … in time order
 * @cost O(n)
 */
export function segmentPasses(
  timeS: ArrayLike<number>,
  headerDown: ArrayLike<number>,
  headingDeg: ArrayLike<number>,
  { gapS, turnDeg, minRecords }: PassLimits,
  breakBefore?: Uint8Array,
): Int32Array<ArrayBuffer> {
  const count = timeS.length;
  const pass = new Int32Array(count).fill(-1);
  const sines = new Float64Array(5);
  const cosines = new Float64Array(5);
  const cosLimit = Math.cos(turnDeg * RADIAN);
  let known = 0;
  let from = -1;
  let nextId = 0;

  const close = (to: number) => {
    if (from < 0) return;
    if (to - from >= minRecords) pass.fill(nextId++, from, to);
    from = -1;
    known = 0;
  };
  for (let i = 0; i < count; i++) {
    if (headerDown[i] === 0) {
      close(i);
      continue;
    }
    const sine = Math.sin(headingDeg[i]! * RADIAN);
    const cosine = Math.cos(headingDeg[i]! * RADIAN);
    if (from >= 0) {
      let splits = timeS[i]! - timeS[i - 1]! > gapS || breakBefore?.[i] === 1;
      if (!splits && known > 0 && sine === sine) {
        let s = 0;
        let c = 0;
        for (let j = 0; j < Math.min(known, 5); j++) {
          s += sines[j]!;
          c += cosines[j]!;
        }
        // The angle to the mean exceeds the limit where its cosine is below the limit's (slack: a turn of exactly the limit stays).
        splits = (s * sine + c * cosine) / Math.hypot(s, c) < cosLimit - 1e-12;
      }
      if (splits) close(i);
    }
    if (from < 0) from = i;
    if (sine === sine) {
      sines[known % 5] = sine;
      cosines[known % 5] = cosine;
      known++;
    }
  }
  close(count);
  return pass;
}

/**
 * Heading of each point from its positions over at least 2 m of travel ahead, near the end of a stretch behind; a
 * standing machine keeps its last heading. One step at low speed would only show the receiver's noise.
 * @param breakBefore 1 where a stretch of the log begins (a gap lies before the point)
 * @returns degrees clockwise from north, 0–360; NaN where the machine never moved 2 m
 * @cost O(n)
 */
export function travelHeadings(
  xM: Float64Array,
  yM: Float64Array,
  breakBefore: Uint8Array,
  overM = 2,
): Float64Array<ArrayBuffer> {
  const count = xM.length;
  const headings = new Float64Array(count).fill(NaN);
  const apart2 = (a: number, b: number) => (xM[b]! - xM[a]!) ** 2 + (yM[b]! - yM[a]!) ** 2;
  const bearing = (a: number, b: number) => {
    const deg = Math.atan2(xM[b]! - xM[a]!, yM[b]! - yM[a]!) / RADIAN;
    return deg < 0 ? deg + 360 : deg;
  };
  /** Furthest look, so that a machine left standing for an hour costs no more than a moving one. */
  const look = 40;
  for (let from = 0; from < count;) {
    let to = from + 1;
    while (to < count && breakBefore[to] === 0) to++;
    for (let k = from; k < to; k++) {
      const last = Math.min(to - 1, k + look);
      let j = k + 1;
      while (j <= last && apart2(k, j) < overM * overM) j++;
      if (j <= last) headings[k] = bearing(k, j);
    }
    // What found nothing ahead looks behind, else keeps the heading before; a stretch that begins standing takes the first one.
    for (let k = from; k < to; k++) {
      if (headings[k] === headings[k]) continue;
      const first = Math.max(from, k - look);
      let j = k - 1;
      while (j >= first && apart2(j, k) < overM * overM) j--;
      headings[k] = j >= first ? bearing(j, k) : k > from ? headings[k - 1]! : NaN;
    }
    for (let k = to - 2; k >= from; k--) if (headings[k] !== headings[k]) headings[k] = headings[k + 1]!;
    from = to;
  }
  return headings;
}
