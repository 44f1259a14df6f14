/**
 * Times for a log without a clock: from the start of each recording or the day, the order of logging, and what each record covers.
 * They keep order and distance; hours and pauses in them are made, and it says so.
 */
import { ASSUMED_SPEED_MS, type TimesMade } from '../model/records.ts';
import { dayAtStart, findDayOrder } from './dates.ts';
import type { DayOrder } from './dates.ts';
import type { Numbers } from './growing.ts';

/** Steps of a record a second lie within these at the speeds of a combine, m. @source methods-season §1.1 (speed limits) */
export const SECOND_STEP_M = { least: 0.5, most: 3.6 };
/** Between stretches; longer than any pause that is bridged. *Assumed*. */
export const PAUSE_S = 90;
/** A step longer than both is a way that was not logged: m, and times the usual step. *Assumed*. */
export const JUMP = { leastM: 10, usual: 4 };
/** Rows whose neighbours lie further apart than this, or that jump more often, are not in the order of driving. *Assumed*. */
export const DISORDER = { stepM: 20, jumpFraction: 0.3 };
const M_PER_DEGREE = 111_195;
const DAY_S = 86_400;

/** Unix seconds in the text of a recording's name ("18/07/18-15:16:35 (236597)"), or null. */
export function startInName(name: string, order: DayOrder): number | null {
  const day = dayAtStart(name, order);
  if (!day) return null;
  const clock = /(\d{1,2}):(\d{2}):(\d{2})/.exec(name.slice(day.length));
  return clock ? day.day * DAY_S + Number(clock[1]) * 3600 + Number(clock[2]) * 60 + Number(clock[3]) : null;
}

export function startsInNames(names: readonly string[], place: { file: string; column: string }): (number | null)[] {
  const { order } = findDayOrder(names, place);
  return names.map((name) => startInName(name, order));
}

export interface Clockless {
  readonly lon: Float64Array;
  readonly lat: Float64Array;
  /** Of each record; 0 throughout where the log is one recording. */
  readonly recording: Uint32Array;
  /** Unix seconds of each recording's start; null where it is not told. */
  readonly startS: readonly (number | null)[];
  /** Days since 1970 of each record; NaN where it has none; null where the log has no days. */
  readonly day: Float64Array | null;
  readonly sequence: Numbers | null;
  readonly durationS: Numbers | null;
  readonly speedMS: Numbers | null;
}

export interface MadeTimes {
  readonly timeS: Float64Array;
  /** Seconds that each record covers, as made; in file order. */
  readonly durationS: Float64Array;
  /** Ways from each record to the next, m; the usual one where the next lies behind a jump or there is none. */
  readonly wayM: Float64Array;
  readonly by: TimesMade;
  readonly from: 'recordings' | 'days' | 'nothing';
  /** Ways between records that were not logged: a pause was put there. */
  readonly jumps: number;
  /** False where the rows do not follow one another on the ground. */
  readonly inOrder: boolean;
}

/** @param utcOffsetMinutes of the clock in the recordings' names and of the days @cost O(n log n) */
export function makeTimes(log: Clockless, utcOffsetMinutes: number): MadeTimes {
  const count = log.recording.length;
  const knowsStarts = log.startS.length > 0 && log.startS.every((one) => one !== null);
  const day = log.day === null ? null : daysFilled(log.day);
  const order = Uint32Array.from({ length: count }, (_, i) => i);
  const { recording, sequence } = log;
  order.sort(
    (a, b) =>
      (knowsStarts || day === null ? 0 : day[a]! - day[b]!) ||
      recording[a]! - recording[b]! ||
      (sequence ? sequence[a]! - sequence[b]! : 0) ||
      a - b,
  );
  const stepM = new Float64Array(count).fill(NaN);
  for (let k = 0; k + 1 < count; k++) stepM[order[k]!] = apartM(log, order[k]!, order[k + 1]!);
  const sorted = stepM.filter((one) => one > 0).sort();
  const usualM = sorted[sorted.length >> 1] ?? 1;
  const by = madeBy(log, usualM);
  const isJump = (i: number) => stepM[i]! > Math.max(JUMP.leastM, JUMP.usual * usualM);

  const timeS = new Float64Array(count);
  const durationS = new Float64Array(count);
  const wayM = new Float64Array(count);
  let jumps = 0;
  let now = 0;
  for (let k = 0; k < count; k++) {
    const i = order[k]!;
    const before = k > 0 ? order[k - 1]! : -1;
    const isNewDay = !knowsStarts && day !== null && (before < 0 || day[i] !== day[before]);
    const isNewRecording = before < 0 || recording[i] !== recording[before];
    if (knowsStarts && isNewRecording) now = log.startS[recording[i]!]! - utcOffsetMinutes * 60;
    else if (isNewDay) now = day[i]! * DAY_S + DAY_S / 2 - utcOffsetMinutes * 60;
    else if (isNewRecording && before >= 0) now += PAUSE_S;
    timeS[i] = now;
    wayM[i] = isJump(i) || Number.isNaN(stepM[i]!) ? usualM : stepM[i]!;
    const covered = secondsOf(log, i, by, wayM[i]!);
    durationS[i] = covered;
    now += covered;
    if (!isJump(i)) continue;
    jumps++;
    // With durations logged, steps as they are: what lies between shows as a step that nobody can drive.
    if (by !== 'duration') now += PAUSE_S;
  }
  const inOrder = usualM <= DISORDER.stepM && jumps <= DISORDER.jumpFraction * count;
  return { timeS, durationS, wayM, by, from: knowsStarts ? 'recordings' : day ? 'days' : 'nothing', jumps, inOrder };
}

function madeBy({ durationS, speedMS }: Clockless, usualM: number): TimesMade {
  if (durationS) return 'duration';
  if (speedMS) return 'speed';
  return usualM >= SECOND_STEP_M.least && usualM <= SECOND_STEP_M.most ? 'a second a record' : 'distance';
}

function secondsOf(log: Clockless, i: number, by: TimesMade, wayM: number): number {
  if (by === 'duration') return log.durationS![i]! > 0 ? log.durationS![i]! : 1;
  if (by === 'a second a record') return 1;
  const speed = by === 'speed' ? log.speedMS![i]! : NaN;
  return Math.max(0.05, wayM / (speed > 0.2 ? speed : ASSUMED_SPEED_MS));
}

/** A record without a day is of the day of the one before it. */
function daysFilled(day: Float64Array): Float64Array {
  const filled = day.slice();
  let last = filled.find((one) => one === one) ?? 0;
  for (let i = 0; i < filled.length; i++) {
    if (filled[i] === filled[i]) last = filled[i]!;
    else filled[i] = last;
  }
  return filled;
}

function apartM({ lon, lat }: Pick<Clockless, 'lon' | 'lat'>, a: number, b: number): number {
  const north = (lat[b]! - lat[a]!) * M_PER_DEGREE;
  const east = (lon[b]! - lon[a]!) * M_PER_DEGREE * Math.cos((lat[a]! * Math.PI) / 180);
  return Math.hypot(north, east);
}
