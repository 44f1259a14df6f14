/** Where the points, the curve and the bars of a variogram stand. Lengths are in the shown unit, heights shares of what two places picked blindly differ. */
import { roundEnd, ticksOf } from './shapes.ts';

export interface VariogramLag {
  readonly distance: number;
  readonly pairs: number;
  readonly share: number;
  readonly robustShare: number;
}

export interface VariogramDrawing {
  readonly lags: readonly VariogramLag[];
  readonly farthest: number;
  /** The fitted curve at a distance above 0. */
  readonly curveAt: (distance: number) => number;
  readonly nuggetShare: number;
  readonly sillShare: number;
  /** Where likeness ends; null where the curve is flat or the end lies beyond the distances looked at. */
  readonly range: number | null;
}

interface Spot {
  readonly x: number;
  readonly y: number;
}

export interface VariogramPicture {
  readonly points: readonly { readonly x: number; readonly y: number; readonly robustY: number }[];
  readonly curve: readonly { readonly x: number; readonly y: number }[];
  readonly xTicks: readonly { readonly x: number; readonly value: number }[];
  readonly yTicks: readonly { readonly y: number; readonly share: number }[];
  readonly nuggetY: number;
  /** Where words about the beginning of the curve stand free of it and of the marks; null where there is no room. */
  readonly nuggetWords: Spot | null;
  /** null where the curve has not reached its sill within the picture. */
  readonly sillY: number | null;
  /** Where words about the sill end, free of the marks. */
  readonly sillWords: Spot | null;
  readonly rangeX: number | null;
  /** One a lag; `text` where there is room for its number of pairs. */
  readonly bars: readonly { readonly x: number; readonly heightPx: number; readonly text: string | null }[];
}

/** Words of so many letters that are to stand beside a mark. */
export interface VariogramWords {
  readonly near: number;
  readonly far: number;
}

export interface VariogramFrame {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly barPx: number;
}

const CURVE_STEPS = 120;
const LETTER_PX = 7.2;
const WORDS_HIGH_PX = 18;
/** Half a mark's width, with some room. */
const MARK_PX = 6;
const WORDS_OFF_GROUND_PX = 6;
/** Room above the highest mark, for words. */
const HEADROOM = 1.22;

export function layOutVariogram(
  of: VariogramDrawing,
  frame: VariogramFrame,
  letters: VariogramWords,
): VariogramPicture {
  const width = Math.max(1, frame.right - frame.left);
  const distances = Array.from({ length: CURVE_STEPS + 1 }, (_, i) => (of.farthest * Math.max(i, 1e-6)) / CURVE_STEPS);
  const curve = distances.map((distance) => ({ distance, share: of.curveAt(distance) }));
  const highest = Math.max(
    1,
    ...of.lags.flatMap((one) => [one.share, one.robustShare]),
    ...curve.map((one) => one.share),
  );
  const end = roundEnd(HEADROOM * highest);
  const x = (distance: number) => frame.left + (distance / of.farthest) * width;
  const y = (share: number) => frame.bottom - (share / end) * (frame.bottom - frame.top);
  const line = curve.map((one) => ({ x: x(one.distance), y: y(one.share) }));
  const points = of.lags.map((one) => ({ x: x(one.distance), y: y(one.share), robustY: y(one.robustShare) }));
  const marks = points.flatMap((one) => [one, { x: one.x, y: one.robustY }]);
  const most = Math.max(...of.lags.map((one) => one.pairs));
  const sillY = of.range !== null && of.sillShare <= end ? y(of.sillShare) : null;
  return {
    points,
    curve: line,
    xTicks: ticksOf(0, of.farthest, width < 420 ? 4 : 7).map((value) => ({ x: x(value), value })),
    yTicks: ticksOf(0, end, 4).map((share) => ({ y: y(share), share })),
    nuggetY: y(of.nuggetShare),
    nuggetWords: nuggetWordsAt(line, y(of.nuggetShare), marks, letters.near * LETTER_PX, frame),
    sillY,
    sillWords: sillY === null ? null : sillWordsAt(sillY, marks, letters.far * LETTER_PX, frame),
    rangeX: of.range === null ? null : x(of.range),
    bars: barsOf(of.lags, x, most, frame.barPx),
  };
}

/** Under the curve where it begins; on the ground farther right where it begins too low; over it where it stays low. */
function nuggetWordsAt(
  curve: readonly Spot[],
  nuggetY: number,
  marks: readonly Spot[],
  longPx: number,
  { left, right, bottom }: VariogramFrame,
): Spot | null {
  const ground = bottom - WORDS_OFF_GROUND_PX;
  const below = nuggetY + WORDS_HIGH_PX;
  if (below <= ground) return { x: left + 8, y: below };
  const free = curve.find((one) => one.y <= ground - WORDS_HIGH_PX);
  if (!free) return { x: left + 8, y: nuggetY - 10 };
  for (let x = free.x + 6; x + longPx < right; x += MARK_PX)
    if (!touches(marks, x, x + longPx, ground)) return { x, y: ground };
  return null;
}

/** Over the sill, at the right end, as far up as it takes to be free of the marks. */
function sillWordsAt(sillY: number, marks: readonly Spot[], longPx: number, { right, top }: VariogramFrame): Spot {
  for (let y = sillY - 8; y > top; y -= MARK_PX) if (!touches(marks, right - longPx, right, y)) return { x: right, y };
  return { x: right, y: sillY - 8 };
}

/** Whether a mark lies under words whose foot is at y. */
function touches(marks: readonly Spot[], x0: number, x1: number, y: number): boolean {
  return marks.some(
    (one) => one.x > x0 - MARK_PX && one.x < x1 + MARK_PX && one.y > y - WORDS_HIGH_PX && one.y < y + MARK_PX,
  );
}

/** Numbers stand over their bars from left to right, each where it does not touch the one before. */
function barsOf(lags: readonly VariogramLag[], x: (distance: number) => number, most: number, barPx: number) {
  let free = -Infinity;
  return lags.map(({ distance, pairs }) => {
    const middle = x(distance);
    const half = (String(pairs).length * LETTER_PX) / 2;
    const fits = middle - half >= free;
    if (fits) free = middle + half + 4;
    return { x: middle, heightPx: (pairs / most) * barPx, text: fits ? String(pairs) : null };
  });
}
