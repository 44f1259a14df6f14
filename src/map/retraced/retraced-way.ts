/** The way of the combine as it goes on: lines that stay, and above them the fresh deposit and the machine of the moment. */
import type { Inks } from '../inks.ts';
import { FLOATS_A_TICK, machineAt, pointAt, type PathPoints, strideFor, WORDS_A_POINT } from '../path-points.ts';
import { DASH_S, DASH_SHARE, DRIES_IN_S, FRESH_ALPHA, UNCUT_SHARE, type WayLook } from '../way-look.ts';
import type { OnSheet } from './on-sheet.ts';

/** So many points at most are drawn when the way so far is drawn at once. */
const POINTS_AT_ONCE = 20_000;
/** Steps of age in which the fresh deposit fades. */
const AGES = 8;

export class RetracedWay {
  private readonly floats: Float32Array;
  /** The last point up to which lines are drawn. */
  private drawn = 0;
  private ticked = 0;

  constructor(
    private readonly points: PathPoints,
    private readonly inks: Inks,
  ) {
    this.floats = new Float32Array(points.points.buffer);
  }

  /** On an empty sheet. */
  begin(): void {
    this.drawn = 0;
    this.ticked = 0;
  }

  /** Lines of the way since it was drawn last. */
  drawUntil(context: CanvasRenderingContext2D, on: OnSheet, look: WayLook, atS: number): void {
    const until = pointAt(this.points.path, atS);
    if (until <= this.drawn) return;
    const stride = strideFor(until - this.drawn, POINTS_AT_ONCE);
    const from = this.drawn;
    const { inks } = this;
    const runs = (cut: boolean) => this.lines(on, from, until, stride, cut);
    if (look.haloPx > 0) stroke(context, inks.halo, look.haloAlpha, look.haloPx, runs(true));
    stroke(context, inks.ink, look.alpha, look.linePx, runs(true));
    stroke(context, inks.ink, look.alpha * UNCUT_SHARE, look.linePx, runs(false));
    if (look.tickPx) this.drawTicks(context, on, look, atS);
    this.drawn = until;
  }

  /** On an empty sheet. */
  drawMoment(context: CanvasRenderingContext2D, on: OnSheet, look: WayLook, atS: number): void {
    const { path } = this.points;
    const first = Math.max(0, pointAt(path, atS - DRIES_IN_S));
    const last = pointAt(path, atS);
    const ages = Array.from({ length: AGES }, () => new Path2D());
    for (let k = first; k < last; k++) {
      if (!this.isJoined(k, k + 1) || !this.isCut(k, k + 1)) continue;
      const age = (atS - this.timeOf(k + 1)) / DRIES_IN_S;
      const line = ages[Math.min(AGES - 1, Math.max(0, Math.floor(age * AGES)))]!;
      line.moveTo(...this.at(on, k));
      line.lineTo(...this.at(on, k + 1));
    }
    ages.forEach((line, k) => {
      stroke(context, this.inks.fresh, FRESH_ALPHA * (1 - (k + 0.5) / AGES) ** 1.5, look.freshPx, line);
    });
    this.drawMachine(context, on, look, atS);
  }

  private lines(on: OnSheet, from: number, until: number, stride: number, cut: boolean): Path2D {
    const line = new Path2D();
    let last = -1;
    for (let k = from; k < until; k += stride) {
      const next = Math.min(until, k + stride);
      if (!this.isJoined(k, next) || this.isCut(k, next) !== cut) continue;
      if (this.points.path.assumed) this.dash(line, on, k, next);
      else {
        if (last !== k) line.moveTo(...this.at(on, k));
        line.lineTo(...this.at(on, next));
        last = next;
      }
    }
    return line;
  }

  /** Broken by time, as an assumed way is drawn. */
  private dash(line: Path2D, on: OnSheet, from: number, to: number): void {
    const [startS, endS] = [this.timeOf(from), this.timeOf(to)];
    const [x0, y0] = this.at(on, from);
    const [x1, y1] = this.at(on, to);
    const put = (s: number) => {
      const share = endS > startS ? (s - startS) / (endS - startS) : 1;
      return [x0 + share * (x1 - x0), y0 + share * (y1 - y0)] as const;
    };
    for (let n = Math.floor(startS / DASH_S); n * DASH_S < endS; n++) {
      const [a, b] = [Math.max(startS, n * DASH_S), Math.min(endS, (n + DASH_SHARE) * DASH_S)];
      if (b <= a) continue;
      line.moveTo(...put(a));
      line.lineTo(...put(b));
    }
  }

  private drawTicks(context: CanvasRenderingContext2D, on: OnSheet, look: WayLook, atS: number): void {
    const { ticks } = this.points;
    const line = new Path2D();
    for (; FLOATS_A_TICK * this.ticked < ticks.length; this.ticked++) {
      const at = FLOATS_A_TICK * this.ticked;
      if (ticks[at + 4]! > atS) break;
      const [x, y] = [on.x + ticks[at]! * on.scale, on.y + ticks[at + 1]! * on.scale];
      const half = look.tickPx![0] / 2;
      line.moveTo(x - ticks[at + 2]! * half, y - ticks[at + 3]! * half);
      line.lineTo(x + ticks[at + 2]! * half, y + ticks[at + 3]! * half);
    }
    stroke(context, this.inks.ink, look.alpha, look.tickPx![1], line);
  }

  /** A bar as wide as the header, and a body behind it. */
  private drawMachine(context: CanvasRenderingContext2D, on: OnSheet, look: WayLook, atS: number): void {
    const machine = machineAt(this.points, atS);
    if (!machine) return;
    const [x, y, acrossX, acrossY] = machine;
    const { barPx, bodyPx, edgePx, thickPx } = look.machine;
    context.save();
    context.translate(on.x + x * on.scale, on.y + y * on.scale);
    context.rotate(Math.atan2(acrossY, acrossX));
    for (const [color, edge] of [
      [this.inks.halo, edgePx],
      [this.inks.ink, 0],
    ] as const) {
      context.fillStyle = color;
      context.fillRect(-bodyPx / 4 - edge, -edge, bodyPx / 2 + 2 * edge, bodyPx + 2 * edge);
      context.fillRect(-barPx / 2 - edge, -thickPx / 2 - edge, barPx + 2 * edge, thickPx + 2 * edge);
    }
    context.restore();
  }

  private at(on: OnSheet, k: number): readonly [number, number] {
    const at = k * WORDS_A_POINT;
    return [on.x + this.floats[at]! * on.scale, on.y + this.floats[at + 1]! * on.scale];
  }
  private timeOf(k: number): number {
    return this.floats[k * WORDS_A_POINT + 2]!;
  }
  private isJoined(a: number, b: number): boolean {
    return this.bits(a) >>> 16 === this.bits(b) >>> 16;
  }
  private isCut(a: number, b: number): boolean {
    const pass = this.bits(a) & 0xffff;
    return pass > 0 && pass === (this.bits(b) & 0xffff);
  }
  private bits(k: number): number {
    return this.points.points[k * WORDS_A_POINT + 3]!;
  }
}

function stroke(context: CanvasRenderingContext2D, color: string, alpha: number, widthPx: number, line: Path2D): void {
  context.globalAlpha = alpha;
  context.strokeStyle = color;
  context.lineWidth = widthPx;
  context.stroke(line);
  context.globalAlpha = 1;
}
