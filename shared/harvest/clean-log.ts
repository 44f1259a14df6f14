/**
 * Cleaning flags of a harvest log (1–10 of the list): time, position, speed, moisture, ramps. A record keeps a set of
 * flags as bits; none is ever deleted, so records in = records out. The yield flags stand in yield-flags.ts.
 * @source methods-season §1.1; tests/reference/harvest-path (cleaning)
 */
import { FLAG_NAMES, type FlagName } from '../model/log-flags.ts';
import { machinesSaid, separateMachines } from './machine-tracks.ts';

/** Name → bit. */
export const FLAG = Object.fromEntries(FLAG_NAMES.map((name, bit) => [name, 1 << bit])) as Readonly<
  Record<FlagName, number>
>;

/** Names of the flags that are set, in their order. */
export function flagNames(bits: number): FlagName[] {
  return FLAG_NAMES.filter((_, bit) => (bits >> bit) & 1);
}

/** The bits of several flags together. */
export function flagBits(names: readonly FlagName[]): number {
  return names.reduce((bits, name) => bits | FLAG[name], 0);
}

/** How many records carry each flag. */
export function countFlags(flags: ArrayLike<number>): Record<FlagName, number> {
  const counts = Object.fromEntries(FLAG_NAMES.map((name) => [name, 0])) as Record<FlagName, number>;
  for (let i = 0; i < flags.length; i++) {
    const bits = flags[i]!;
    if (bits === 0) continue;
    for (let bit = 0; bit < FLAG_NAMES.length; bit++) if ((bits >> bit) & 1) counts[FLAG_NAMES[bit]!]++;
  }
  return counts;
}

export interface CleaningLimits {
  /** A longer pause between records is a gap; s. */
  readonly gapS: number;
  /** No combine moves faster between two records; m/s. */
  readonly jumpSpeedMS: number;
  readonly speedLowMS: number;
  readonly speedHighMS: number;
  /** |v₂ − v₁| / max(v₁, v₂) above this is a change of speed. */
  readonly speedChangeFraction: number;
  readonly moistureLowFraction: number;
  readonly moistureHighFraction: number;
  readonly rampStartS: number;
  readonly rampEndS: number;
  /** Newly cut share of the swath below which a yield is noise. */
  readonly overlapFraction: number;
  /** Global screen: this many scaled MADs from the median. */
  readonly globalK: number;
  /** Local screen: robust z above this. */
  readonly localZ: number;
}

/** @source methods-season §1.1: *assumed* or common practice, no source, row by row as named there. */
export const CLEANING_LIMITS: CleaningLimits = {
  gapS: 5,
  jumpSpeedMS: 10,
  speedLowMS: 0.5,
  speedHighMS: 3.6,
  speedChangeFraction: 0.25,
  moistureLowFraction: 0.05,
  moistureHighFraction: 0.4,
  rampStartS: 4,
  rampEndS: 4,
  overlapFraction: 0.3,
  globalK: 3,
  localZ: 5,
};

/**
 * Plausible moisture by crop: 5–40 % corn, 5–30 % soybean, 5–25 % wheat; another crop gets the widest.
 * @source common practice, no source (methods-season §1.1, flag 9)
 */
export function moistureLimits(
  crop: string | null,
): Pick<CleaningLimits, 'moistureLowFraction' | 'moistureHighFraction'> {
  const high = crop === 'wheat' ? 0.25 : crop === 'soybean' ? 0.3 : 0.4;
  return { moistureLowFraction: 0.05, moistureHighFraction: high };
}

/** Most records in a row that a receiver is away. *Assumed*; one is the rule of methods-season §1.1. */
const LONGEST_JUMP = 5;

export interface RecordOrder {
  /** Records with a time and a place, in time order (machine by machine), the first of each time; indices into the file. */
  readonly kept: Uint32Array;
  /** The same without position jumps: the path. */
  readonly path: Uint32Array;
  /** Records that have no time or no place. */
  readonly placeless: number;
  /** Machines that the log holds at once; where there are several, each list has one machine after the other. */
  readonly machines: number;
}

/**
 * Puts the records in time order (a stable sort) and sets `time-order`, `duplicate-time` and `position-jump`.
 * A jump is away and back: faster than the limit from the record before and to the one after, while those two are not;
 * up to five records may be away.
 * @param flags one element a record of the file; changed
 * @param machine of each record, where the log itself tells several apart; else they are told apart by where each could be
 * @param keepsJumps a person said that jumps are real: they are flagged, and stay on the path
 * @cost O(n) where the file is in order, else O(n log n)
 */
export function orderRecords(
  timeS: Float64Array,
  xM: Float64Array,
  yM: Float64Array,
  limits: CleaningLimits,
  flags: Uint16Array,
  machine?: Uint8Array,
  keepsJumps = false,
): RecordOrder {
  const count = timeS.length;
  let order = new Uint32Array(count);
  let placed = 0;
  let latestS = -Infinity;
  let sorted = true;
  for (let i = 0; i < count; i++) {
    const t = timeS[i]!;
    if (t < latestS) {
      flags[i]! |= FLAG['time-order'];
      sorted = false;
    } else if (t > latestS) latestS = t;
    if (Number.isFinite(t) && Number.isFinite(xM[i]!) && Number.isFinite(yM[i]!)) order[placed++] = i;
  }
  order = order.subarray(0, placed);
  if (!sorted) order.sort((a, b) => timeS[a]! - timeS[b]! || a - b);

  let keptCount = 0;
  const apart = machine
    ? machinesSaid(machine, timeS, order)
    : separateMachines(timeS, xM, yM, order, limits.jumpSpeedMS);
  let byMachine = apart === null ? order : order.filter((_, k) => apart.trackOf[k] === 0);
  for (let one = 1; apart !== null && one < apart.tracks; one++) {
    const rest = order.filter((_, k) => apart.trackOf[k] === one);
    const joined = new Uint32Array(byMachine.length + rest.length);
    joined.set(byMachine);
    joined.set(rest, byMachine.length);
    byMachine = joined;
  }
  for (let k = 0; k < placed; k++) {
    const i = byMachine[k]!;
    if (keptCount > 0 && timeS[i] === timeS[byMachine[keptCount - 1]!]) flags[i]! |= FLAG['duplicate-time'];
    else byMachine[keptCount++] = i;
  }
  const kept = byMachine.slice(0, keptCount);

  const tooFast = (a: number, b: number) => {
    const dx = xM[b]! - xM[a]!;
    const dy = yM[b]! - yM[a]!;
    const reachM = limits.jumpSpeedMS * (timeS[b]! - timeS[a]!);
    if (reachM < 0) return false; // the next machine
    return dx * dx + dy * dy > reachM * reachM;
  };
  const path = new Uint32Array(keptCount);
  let pathCount = 0;
  for (let k = 0; k < keptCount; k++) {
    if (pathCount > 0) {
      const before = path[pathCount - 1]!;
      let back = k;
      while (back < keptCount && back - k <= LONGEST_JUMP && tooFast(before, kept[back]!)) back++;
      const returns =
        back > k && back < keptCount && !tooFast(before, kept[back]!) && tooFast(kept[back - 1]!, kept[back]!);
      if (returns) {
        for (; k < back; k++) {
          flags[kept[k]!]! |= FLAG['position-jump'];
          if (keepsJumps) path[pathCount++] = kept[k]!;
        }
      }
    }
    path[pathCount++] = kept[k]!;
  }
  return { kept, path: path.slice(0, pathCount), placeless: count - placed, machines: apart?.atOnce ?? 1 };
}

/**
 * Sets `gap-before`, `duplicate-position`, `header-up`, `speed-low`, `speed-high`, `speed-change`, `moisture-range`.
 * @param speedMS one element a record of the file; NaN sets no speed flag
 * @param flags one element a record of the file; changed
 * @cost O(n)
 */
export function flagMotion(
  log: {
    readonly timeS: Float64Array;
    readonly xM: Float64Array;
    readonly yM: Float64Array;
    readonly speedMS: ArrayLike<number>;
    readonly headerDown: ArrayLike<number>;
    readonly moistureFraction: ArrayLike<number>;
  },
  { kept, path }: RecordOrder,
  gapS: number,
  limits: CleaningLimits,
  flags: Uint16Array,
): void {
  const { timeS, xM, yM, speedMS, headerDown, moistureFraction } = log;
  for (let k = 1; k < path.length; k++) {
    const a = path[k - 1]!;
    const b = path[k]!;
    const stepS = timeS[b]! - timeS[a]!;
    if (stepS > gapS || stepS < 0) flags[b]! |= FLAG['gap-before'];
    const va = speedMS[a]!;
    const vb = speedMS[b]!;
    if (xM[a] === xM[b] && yM[a] === yM[b] && vb > limits.speedLowMS) flags[b]! |= FLAG['duplicate-position'];
    if (va > 0 && vb > 0 && Math.abs(vb - va) / Math.max(va, vb) > limits.speedChangeFraction) {
      flags[b]! |= FLAG['speed-change'];
    }
  }
  // Moisture comes as Float32: a limit of 5 % must hold for a logged 5 %.
  const slack = 1e-6;
  for (const i of kept) {
    if (headerDown[i] === 0) flags[i]! |= FLAG['header-up'];
    if (speedMS[i]! < limits.speedLowMS) flags[i]! |= FLAG['speed-low'];
    if (speedMS[i]! > limits.speedHighMS) flags[i]! |= FLAG['speed-high'];
    const moisture = moistureFraction[i]!;
    if (moisture < limits.moistureLowFraction - slack || moisture > limits.moistureHighFraction + slack) {
      flags[i]! |= FLAG['moisture-range'];
    }
  }
}

/**
 * Sets `ramp-start` and `ramp-end` on the first and last seconds of each pass.
 * @param pass id of each path point, −1 outside; passes are runs of path points
 */
export function flagRamps(
  timeS: Float64Array,
  path: Uint32Array,
  pass: Int32Array,
  ramp: { readonly startS: number; readonly endS: number },
  flags: Uint16Array,
): void {
  for (let from = 0; from < path.length;) {
    const id = pass[from]!;
    let to = from + 1;
    while (to < path.length && pass[to] === id) to++;
    if (id >= 0) {
      const firstS = timeS[path[from]!]!;
      const lastS = timeS[path[to - 1]!]!;
      for (let k = from; k < to; k++) {
        const t = timeS[path[k]!]!;
        if (t - firstS < ramp.startS) flags[path[k]!]! |= FLAG['ramp-start'];
        if (lastS - t < ramp.endS) flags[path[k]!]! |= FLAG['ramp-end'];
      }
    }
    from = to;
  }
}
