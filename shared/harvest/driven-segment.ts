/** One segment of a machine's path while seed leaves it: how it is cut into sub-steps, and where the exits are at a moment. */
import type { MachinePath, MovementInput } from './movement-input.ts';

const RADIANS = Math.PI / 180;
/** A segment that would need more has a wild position or hours of standing; the update stays exact. */
const MOST_SUB_STEPS = 10_000;

export class DrivenSegment {
  durationS = 0;
  /** n = max(1, ⌈distance or turn of the exit / stepM⌉, ⌈Δt / stepS⌉). */
  subSteps = 1;
  /** Of the exits' middle, after `exitAt`. */
  xM = 0;
  yM = 0;
  /** The heading's unit vector, after `exitAt`. */
  eastPart = 0;
  northPart = 1;
  private k = 0;
  private dx = 0;
  private dy = 0;
  private turnDeg = 0;
  private readonly path: MachinePath;
  private readonly exitBehindM: number;
  private readonly stepM: number;
  private readonly stepS: number;

  constructor({ path, machine, stepM, stepS }: MovementInput) {
    this.path = path;
    this.exitBehindM = machine.cutterBarToExitM;
    this.stepM = stepM;
    this.stepS = stepS;
  }

  /** Turns to segment k, from record k to k + 1. */
  enter(k: number): void {
    const { timeS, xM, yM, headingDeg } = this.path;
    this.k = k;
    this.durationS = timeS[k + 1]! - timeS[k]!;
    this.dx = xM[k + 1]! - xM[k]!;
    this.dy = yM[k + 1]! - yM[k]!;
    this.turnDeg = turnOf(headingDeg[k]!, headingDeg[k + 1]!);
    const travelM = Math.max(
      Math.sqrt(this.dx * this.dx + this.dy * this.dy),
      this.exitBehindM * Math.abs(this.turnDeg) * RADIANS,
    );
    const wanted = Math.max(1, Math.ceil(travelM / this.stepM), Math.ceil(this.durationS / this.stepS));
    this.subSteps = Math.min(MOST_SUB_STEPS, wanted);
  }

  /** Sub-steps of a piece of the segment: its share of them, rounded up. */
  stepsOf(lengthS: number): number {
    return Math.max(1, Math.ceil((this.subSteps * lengthS) / this.durationS - 1e-9));
  }

  /** Where the exits are after a share of the segment: behind the cutter bar along the machine's own heading. */
  exitAt(along: number): void {
    const { xM, yM, headingDeg } = this.path;
    const headingRad = (headingDeg[this.k]! + along * this.turnDeg) * RADIANS;
    this.eastPart = Math.sin(headingRad);
    this.northPart = Math.cos(headingRad);
    this.xM = xM[this.k]! + along * this.dx - this.exitBehindM * this.eastPart;
    this.yM = yM[this.k]! + along * this.dy - this.exitBehindM * this.northPart;
  }
}

/** Turn between two headings, the short way round, degrees in [−180, 180). */
function turnOf(fromDeg: number, toDeg: number): number {
  const turn = toDeg - fromDeg + 180;
  return turn - 360 * Math.floor(turn / 360) - 180;
}
