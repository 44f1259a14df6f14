/**
 * What a log says that no machine does: a flow that never changes, a header flag that sticks, minutes on one spot. Nothing of it is
 * changed: it is told with its row, and a person decides. All limits *assumed*.
 */
import type { HarvestLogRecords } from '../model/records.ts';
import type { FollowedPath } from './followed-path.ts';
import { medianOf } from '../statistics/median.ts';

/** Seconds for which a flow to the last digit alike is no measurement. */
const CONSTANT_S = 60;
const CONSTANT_RECORDS = 30;
const STANDING_S = 300;
const STANDING_MS = 0.1;
/** Grain keeps coming for some seconds after the header went up, not for minutes. */
const STUCK_UP_S = 120;
const STUCK_UP_FLOW = 0.5;
/** Passes in one stretch of header down, where usually each has its own. */
const STUCK_DOWN_PASSES = 3;

export interface Doubt {
  readonly code: 'flow-constant' | 'standing' | 'header-stuck-up' | 'header-stuck-down';
  /** Path point where it begins. */
  readonly at: number;
  readonly records: number;
  readonly seconds: number;
  /** Flow of `flow-constant`, kg/s; NaN of the others. */
  readonly value: number;
}

/** @cost O(n) */
export function doubtsOf(log: HarvestLogRecords, path: FollowedPath): Doubt[] {
  const { count, record, speedMS, headerDown, pass } = path;
  const flow = (k: number) => log.flowKgS[record[k]!]!;
  const doubts: Doubt[] = [];
  const add = (code: Doubt['code'], { from, to, seconds }: Run, value = NaN) =>
    doubts.push({ code, at: from, records: to - from, seconds, value });

  for (const run of runsOf(path, (k) => flow(k) > 0 && headerDown[k] === 1 && speedMS[k]! > 0.5, flow))
    if (run.seconds >= CONSTANT_S && run.to - run.from >= CONSTANT_RECORDS) add('flow-constant', run, flow(run.from));
  for (const run of runsOf(path, (k) => speedMS[k]! < STANDING_MS)) if (run.seconds >= STANDING_S) add('standing', run);

  const working = new Float64Array(count).fill(NaN);
  for (let k = 0; k < count; k++) if (headerDown[k] === 1 && flow(k) > 0) working[k] = flow(k);
  const least = STUCK_UP_FLOW * medianOf(working);
  for (const run of runsOf(path, (k) => headerDown[k] === 0 && flow(k) > least && speedMS[k]! > 0.5))
    if (run.seconds >= STUCK_UP_S) add('header-stuck-up', run);

  if (!path.headerKnown) return doubts;
  const down = runsOf(path, (k) => headerDown[k] === 1).map((run) => ({ ...run, passes: passesIn(pass, run) }));
  if (medianOf(Float64Array.from(down, (one) => one.passes)) <= 1)
    for (const run of down) if (run.passes >= STUCK_DOWN_PASSES) add('header-stuck-down', run);
  return doubts;
}

interface Run {
  readonly from: number;
  /** One past the last. */
  readonly to: number;
  readonly seconds: number;
}

/** Stretches without a break in which something holds, and `same` (if any) does not change. */
function runsOf(
  { count, timeS, breakBefore }: FollowedPath,
  holds: (k: number) => boolean,
  same?: (k: number) => number,
): Run[] {
  const runs: Run[] = [];
  for (let from = 0; from < count;) {
    if (!holds(from)) {
      from++;
      continue;
    }
    let to = from + 1;
    while (to < count && breakBefore[to] === 0 && holds(to) && (!same || same(to) === same(from))) to++;
    runs.push({ from, to, seconds: timeS[to - 1]! - timeS[from]! });
    from = to;
  }
  return runs;
}

function passesIn(pass: Int32Array, { from, to }: Run): number {
  const seen = new Set<number>();
  for (let k = from; k < to; k++) if (pass[k]! >= 0) seen.add(pass[k]!);
  return seen.size;
}
