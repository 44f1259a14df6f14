/** Where the combine stands while its way is retraced, and how fast the retracing goes; work time, so that pauses of the record are skipped. */
import type { WorkTime } from '../../charts/work-time.ts';

/** Seconds of the harvest for each second of looking. */
export const PACES = [30, 120, 600, 2400] as const;

const WORDS_A_SECOND = 4;

export class Retracing {
  /** Begins at the end: the whole way. */
  private work = $state(Infinity);
  private going = $state(false);
  private pace = $state<number>(600);

  constructor(private readonly time: () => WorkTime) {}

  get workS(): number {
    return Math.min(this.work, this.time().workS);
  }
  /** Work time that words speak of: while it plays they change so often that they can be read, and no oftener. */
  get toldS(): number {
    if (!this.going) return this.workS;
    const stepS = this.pace / WORDS_A_SECOND;
    return Math.floor(this.workS / stepS) * stepS;
  }
  /** Seconds of the record. */
  get atS(): number {
    return this.time().timeOf(this.workS);
  }
  get isPlaying(): boolean {
    return this.going;
  }
  get secondsPerSecond(): number {
    return this.pace;
  }
  get atEnd(): boolean {
    return this.workS >= this.time().workS;
  }

  moveTo(workS: number): void {
    this.work = Math.min(this.time().workS, Math.max(0, workS));
  }
  setPace(pace: number): void {
    this.pace = pace;
  }
  /** From the end it begins anew. */
  play(): void {
    if (this.atEnd) this.work = 0;
    this.going = true;
  }
  pause(): void {
    this.going = false;
  }
  /** So many seconds of looking went by. */
  pass(seconds: number): void {
    if (!this.going) return;
    this.moveTo(this.workS + seconds * this.pace);
    if (this.atEnd) this.going = false;
  }
}
