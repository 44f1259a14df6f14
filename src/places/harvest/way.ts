/** The way of a combine, read at a moment: where in the record, what the header does, how fast it goes, which pass it is in. */
import type { FieldMachineLoad } from '../../../shared/analysis/steps/machine-load.ts';
import type { StreamId } from '../../../shared/harvest/machine-streams.ts';
import type { ShownPath } from '../../state/answers.ts';

/** Last point at or before a moment; 0 before the first. @cost O(log points) */
export function pointAt(timeS: Float64Array, atS: number): number {
  let [low, high] = [0, timeS.length - 1];
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (timeS[middle]! <= atS) low = middle;
    else high = middle - 1;
  }
  return low;
}

export interface Pass {
  readonly id: number;
  readonly from: number;
  readonly to: number;
}

/** First and last point of each pass, in order. */
export function passesOf(pass: Int32Array): Pass[] {
  const out: { id: number; from: number; to: number }[] = [];
  for (let k = 0; k < pass.length; k++) {
    if (pass[k]! < 0) continue;
    const last = out.at(-1);
    if (last !== undefined && last.id === pass[k]) last.to = k;
    else out.push({ id: pass[k]!, from: k, to: k });
  }
  return out;
}

/** Speed from the point to the next, or to the last where there is none; null over a gap. */
export function speedAt({ timeS, xM, yM, running }: ShownPath, point: number): number | null {
  const from = Math.min(point, timeS.length - 2);
  if (from < 0 || running[from] === 0) return null;
  const seconds = timeS[from + 1]! - timeS[from]!;
  return seconds > 0 ? Math.hypot(xM[from + 1]! - xM[from]!, yM[from + 1]! - yM[from]!) / seconds : null;
}

/** From the top of a stack to its base. */
export const STREAM_WORDS: readonly { readonly id: StreamId; readonly words: string }[] = [
  { id: 'grain', words: 'with the grain' },
  { id: 'straw', words: 'in the straw' },
  { id: 'chaff', words: 'in the chaff' },
  { id: 'lodged', words: 'lodged' },
];

export function aboardAt({ heldSeeds }: FieldMachineLoad, point: number): number {
  return STREAM_WORDS.reduce((sum, { id }) => sum + (heldSeeds[id][point] ?? 0), 0);
}

/** Seeds that the machine let fall on the field in the last seconds before a point. */
export function laidDownSince(load: FieldMachineLoad, timeS: Float64Array, point: number, seconds: number): number {
  let sum = 0;
  for (let k = point - 1; k >= 0 && timeS[point]! - timeS[k]! <= seconds; k--) sum += load.depositSeeds[k]!;
  return sum;
}

/** The point with the most seed aboard. */
export function fullestPoint(load: FieldMachineLoad): number {
  let best = 0;
  for (let k = 1; k < load.depositSeeds.length; k++) if (aboardAt(load, k) > aboardAt(load, best)) best = k;
  return best;
}

/** Beginning of the next pass after a moment of work, or of the one before; null where there is none. */
export function passBeside(starts: readonly number[], workS: number, forward: boolean): number | null {
  const beside = starts.filter((one) => (forward ? one > workS + 0.5 : one < workS - 0.5));
  return beside.length === 0 ? null : forward ? Math.min(...beside) : Math.max(...beside);
}
