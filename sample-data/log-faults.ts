/** The faults of real logs, planted on purpose and noted where they stand. Rows are lines of the file, the header line is row 1. */
import type { Draws } from './draws.ts';
import { KINDS, type Trace } from './combine.ts';

export interface PlantedFault {
  readonly kind:
    | 'position jump'
    | 'duplicated second'
    | 'gap'
    | 'moisture spike'
    | 'frozen position'
    | 'time order'
    | 'header left down';
  readonly row: number;
  readonly rows: number;
  readonly note?: string;
}

/** The records of a log in file order, each with what was done to it. */
export interface FaultyOrder {
  /** Second of the trace that each row tells. */
  readonly second: Int32Array;
  /** By row: metres east and north to add; moisture to write instead (NaN = as it is); second whose position is shown. */
  readonly shiftEastM: Float64Array;
  readonly shiftNorthM: Float64Array;
  readonly moistureFraction: Float64Array;
  readonly positionOf: Int32Array;
  readonly faults: readonly PlantedFault[];
}

export interface FaultPlan {
  readonly gapS: number;
  readonly swaps: number;
}

export function withFaults(trace: Trace, plan: FaultPlan, draws: Draws): FaultyOrder {
  const passing = (from: number, length: number) => {
    for (let k = from - 8; k < from + length + 8; k++) if (KINDS[trace.kind[k] ?? 2] !== 'pass') return false;
    return true;
  };
  const taken = new Set<number>();
  const place = (length: number): number => {
    for (;;) {
      const from = draws.whole(400, trace.count - 400);
      let free = passing(from, length);
      for (let k = from - 20; free && k < from + length + 20; k++) free = !taken.has(k);
      if (!free) continue;
      for (let k = from; k < from + length; k++) taken.add(k);
      return from;
    }
  };
  const places = (count: number, length: number) => Array.from({ length: count }, () => place(length));
  const gapAt = plan.gapS > 0 ? place(plan.gapS) : -1;
  const jumps = new Set(places(draws.whole(4, 8), 1));
  const twice = new Set(places(draws.whole(10, 16), 1));
  const spikes = new Set(places(draws.whole(6, 11), 1));
  const frozen = places(draws.whole(1, 3), 4);
  const swapped = new Set(places(plan.swaps, 2));

  const second: number[] = [];
  const faults: PlantedFault[] = [];
  const shift: [number, number, number][] = [];
  const moisture: [number, number][] = [];
  const positionOf: number[] = [];
  const row = () => second.length + 1;
  const write = (k: number) => {
    second.push(k);
    const start = frozen.find((from) => k > from && k < from + 4);
    positionOf.push(start ?? k);
    if (start === k - 1) faults.push({ kind: 'frozen position', row: row(), rows: 3 });
    if (jumps.has(k)) {
      const [east, north] = [draws.between(40, 160), draws.between(-120, 120)];
      shift.push([second.length - 1, east, north]);
      faults.push({
        kind: 'position jump',
        row: row(),
        rows: 1,
        note: `${east.toFixed(0)} m east, ${north.toFixed(0)} m north`,
      });
    }
    if (spikes.has(k)) {
      const value = draws.share() < 0.4 ? 0 : draws.between(0.55, 0.98);
      moisture.push([second.length - 1, value]);
      faults.push({ kind: 'moisture spike', row: row(), rows: 1, note: `${(100 * value).toFixed(1)} %` });
    }
  };
  for (let k = 0; k < trace.count; k++) {
    if (k === gapAt) {
      faults.push({ kind: 'gap', row: row() + 1, rows: 0, note: `${plan.gapS} s missing before this row` });
      k += plan.gapS - 1;
      continue;
    }
    if (swapped.has(k)) {
      write(k + 1);
      write(k);
      faults.push({ kind: 'time order', row: row(), rows: 1 });
      k++;
      continue;
    }
    const down = trace.headerDown[k] === 1 && KINDS[trace.kind[k]!] === 'turn';
    const before = k > 0 && trace.headerDown[k - 1] === 1 && KINDS[trace.kind[k - 1]!] === 'turn';
    write(k);
    if (down && !before) {
      let rows = 1;
      while (trace.headerDown[k + rows] === 1 && KINDS[trace.kind[k + rows]!] === 'turn') rows++;
      faults.push({ kind: 'header left down', row: row(), rows });
    }
    if (twice.has(k)) {
      write(k);
      faults.push({ kind: 'duplicated second', row: row(), rows: 1 });
    }
  }
  const count = second.length;
  const order: FaultyOrder = {
    second: new Int32Array(second),
    shiftEastM: new Float64Array(count),
    shiftNorthM: new Float64Array(count),
    moistureFraction: new Float64Array(count).fill(NaN),
    positionOf: new Int32Array(positionOf),
    faults,
  };
  for (const [at, east, north] of shift) [order.shiftEastM[at], order.shiftNorthM[at]] = [east, north];
  for (const [at, value] of moisture) order.moistureFraction[at] = value;
  return order;
}
