/** Mass flow and speed of each record, from whichever columns the log has; every detour is told. */
import { problem } from '../model/problem.ts';
import type { Problem } from '../model/problem.ts';
import { toSI } from '../units/units.ts';
import type { FoundColumns } from './columns.ts';
import type { Numbers } from './growing.ts';

export interface RawLog {
  readonly count: number;
  readonly timeS: Float64Array;
  readonly swath: Numbers | null;
  readonly distance: Numbers | null;
  readonly speed: Numbers | null;
  readonly duration: Numbers | null;
  readonly flow: Numbers | null;
  readonly mass: Numbers | null;
  readonly yield: Numbers | null;
  readonly yieldVolume: Numbers | null;
}

const M2_PER_HA = 10_000;

/**
 * Usual time between records, s: mean of the steps forward that are at most three times the median step. The mean, because times
 * that are rounded (days with five decimals) jump about their true step. Null where there are no steps forward.
 */
export function recordIntervalS(timeS: Float64Array): number | null {
  const steps: number[] = [];
  for (let i = 1; i < timeS.length; i++) {
    const step = timeS[i]! - timeS[i - 1]!;
    if (step > 1e-6) steps.push(step);
  }
  if (steps.length === 0) return null;
  const median = [...steps].sort((a, b) => a - b)[steps.length >> 1]!;
  let sum = 0;
  let count = 0;
  for (const step of steps) {
    if (step > 3 * median) continue;
    sum += step;
    count++;
  }
  return sum / count;
}

/** Seconds that each record covers: as logged, else the usual step. */
function durations(log: RawLog, notes: Problem[], file: string, what: string): (i: number) => number {
  if (log.duration) return (i) => log.duration![i]!;
  const interval = recordIntervalS(log.timeS);
  if (interval === null) return () => NaN;
  notes.push(
    problem(
      'note',
      'duration-assumed',
      `${what}: the log has no duration column, each record is taken to cover ${interval.toFixed(3)} s, its usual step.`,
      { where: { file } },
    ),
  );
  return () => interval;
}

/** m/s: as logged, else distance over duration; null where the log has neither. */
export function speedOf(log: RawLog, file: string): { speed: Numbers | null; notes: Problem[] } {
  if (log.speed || !log.distance) return { speed: log.speed, notes: [] };
  const notes: Problem[] = [
    problem('note', 'speed-from-distance', 'The log has no speed column: speed is distance over duration.', {
      where: { file },
    }),
  ];
  const durationS = durations(log, notes, file, 'Speed');
  return { speed: log.distance.map((metres, i) => metres / durationS(i)), notes };
}

/** Kilograms a hectare for one unit of the yield column, or why that is unknown. */
function kgHaPerUnit(unit: string | null | undefined, crop: string | null): number | null {
  if (unit !== 'bu/ac') return 1;
  if (crop === 'corn') return toSI(1, 'bu/ac 56 lb');
  if (crop === 'soybean' || crop === 'wheat') return toSI(1, 'bu/ac 60 lb');
  return null;
}

/**
 * Wet mass flow, kg/s. A flow column goes first, then mass over duration, then yield × width × speed (distance over duration).
 * Rows without ground (width or distance 0) carry no flow then.
 */
export function flowOf(
  log: RawLog,
  speed: Numbers | null,
  found: FoundColumns,
  crop: string | null,
  file: string,
): { flow: Numbers; notes: Problem[] } {
  const where = { file };
  if (log.flow) return { flow: log.flow, notes: [] };
  const unknown = (why: string, hint: string) => ({
    flow: new Float64Array(log.count).fill(NaN),
    notes: [problem('warning', 'flow-missing', `The log gives no mass flow: ${why}.`, { where, hint })],
  });
  if (log.mass) {
    const notes = [
      problem(
        'note',
        'flow-from-mass',
        `Mass flow is the mass of each record ("${found.mass!.column}") over its duration.`,
        { where },
      ),
    ];
    const durationS = durations(log, notes, file, 'Mass flow');
    return { flow: log.mass.map((kg, i) => kg / durationS(i)), notes };
  }
  const byMass = kgHaPerUnit(found.yield?.unit, crop) !== null ? log.yield : null;
  const perArea = byMass ?? log.yieldVolume ?? log.yield;
  if (!perArea)
    return unknown(
      'it has no column of flow, mass or yield',
      'Paths and seed movement work without it; a yield map does not.',
    );
  const column = perArea === log.yield ? found.yield! : found.yieldVolume!;
  const factor = kgHaPerUnit(column.unit, crop);
  if (factor === null) {
    return unknown(
      `"${column.column}" is in bushels an acre and the crop is not known`,
      'Say the unit: "bu/ac 56 lb" (corn) or "bu/ac 60 lb" (soybean, wheat).',
    );
  }
  if (!log.swath || !speed) {
    return unknown(
      `flow from yield ("${column.column}") needs width and speed or distance, and ${log.swath ? 'speed and distance are' : 'the width is'} missing`,
      'Export the width and the distance too.',
    );
  }
  const notes = [
    problem(
      'note',
      'flow-from-yield',
      `The log has no flow column: mass flow is yield ("${column.column}") × width × speed.`,
      { where },
    ),
  ];
  if (/dry|mssd|vld|vold|massd|_d_?$/i.test(column.column)) {
    notes.push(
      problem(
        'warning',
        'dry-yield',
        `"${column.column}" is yield at market moisture, not as harvested: the flow is of grain at that moisture.`,
        { where },
      ),
    );
  }
  const flow = new Float64Array(log.count);
  for (let i = 0; i < log.count; i++) flow[i] = (perArea[i]! * factor * log.swath[i]! * speed[i]!) / M2_PER_HA;
  return { flow, notes };
}
