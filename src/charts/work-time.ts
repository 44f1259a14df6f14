/**
 * A time axis of work: minutes take the same width everywhere, and a pause of the record is a gap of fixed width, however long it was.
 * Nights and breaks would else leave the work no room.
 */
export interface WorkStretch {
  /** Seconds of the record. */
  readonly fromS: number;
  readonly toS: number;
  readonly x0: number;
  readonly x1: number;
}

export class WorkTime {
  /** Work done before each stretch, seconds. */
  private readonly before: readonly number[];
  readonly workS: number;

  constructor(readonly stretches: readonly WorkStretch[]) {
    let sum = 0;
    this.before = stretches.map(({ fromS, toS }) => {
      const before = sum;
      sum += toS - fromS;
      return before;
    });
    this.workS = sum;
  }

  xOf(timeS: number): number {
    const at = this.stretchAt(timeS);
    const { fromS, toS, x0, x1 } = this.stretches[at]!;
    if (timeS > toS) return x1;
    return toS === fromS ? x0 : x0 + ((Math.max(timeS, fromS) - fromS) / (toS - fromS)) * (x1 - x0);
  }

  /** Seconds at work until a moment of the record; pauses do not count. */
  workOf(timeS: number): number {
    const at = this.stretchAt(timeS);
    const { fromS, toS } = this.stretches[at]!;
    return this.before[at]! + Math.max(0, Math.min(timeS, toS) - fromS);
  }

  /** The moment of the record after so many seconds at work. */
  timeOf(workS: number): number {
    let at = 0;
    while (at + 1 < this.stretches.length && this.before[at + 1]! <= workS) at++;
    const { fromS, toS } = this.stretches[at]!;
    return Math.min(toS, fromS + Math.max(0, workS - this.before[at]!));
  }

  private stretchAt(timeS: number): number {
    let at = 0;
    while (at + 1 < this.stretches.length && this.stretches[at + 1]!.fromS <= timeS) at++;
    return at;
  }
}

/**
 * @param timeS in time order
 * @param pauseS a longer step between two records is a pause
 * @param gapPx width of a pause; narrower where there are many, so that work keeps at least half of the width
 */
export function workTimeOf(timeS: Float64Array, pauseS: number, widthPx: number, gapPx: number): WorkTime {
  const spans: [number, number][] = [];
  for (let k = 0; k < timeS.length; k++) {
    const last = spans.at(-1);
    if (last && timeS[k]! - last[1] <= pauseS) last[1] = timeS[k]!;
    else spans.push([timeS[k]!, timeS[k]!]);
  }
  if (spans.length === 0) spans.push([0, 0]);
  const gaps = spans.length - 1;
  const gap = gaps === 0 ? 0 : Math.min(gapPx, widthPx / 2 / gaps);
  const work = spans.reduce((sum, [from, to]) => sum + to - from, 0);
  const pxPerS = work > 0 ? (widthPx - gaps * gap) / work : 0;
  let x = 0;
  return new WorkTime(
    spans.map(([fromS, toS]) => {
      const x0 = x;
      const x1 = x0 + (toS - fromS) * pxPerS;
      x = x1 + gap;
      return { fromS, toS, x0, x1 };
    }),
  );
}
