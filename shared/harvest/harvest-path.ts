/**
 * A harvest log retraced: flagged records, the path in time order, passes, swaths, newly cut area, delay, yield.
 * @source methods-season §1, §2; tests/reference/harvest-path
 */
import type { Bounds, FlatMultiPolygon, Grid, GridShape } from '../geometry/types.ts';
import type { Frame } from '../geometry/local-frame.ts';
import type { HarvestLogRecords } from '../model/records.ts';
import type { FlagName, LiftableFlag } from '../model/log-flags.ts';
import type { Problem } from '../model/problem.ts';
import { gridOver } from '../geometry/grid.ts';
import { ringBounds } from '../geometry/ring.ts';
import { CLEANING_LIMITS, countFlags, FLAG, flagBits, flagRamps, moistureLimits, orderRecords } from './clean-log.ts';
import { followClock } from './clock-jumps.ts';
import { type Delay, estimateDelay, givenDelay, shiftFlow } from './delay.ts';
import { followPath } from './followed-path.ts';
import { forgetFarAway } from './far-away.ts';
import { gather } from './gather.ts';
import { tellProblems } from './harvest-problems.ts';
import { rampOf } from './ramp.ts';
import { sweepSwaths } from './sweep.ts';
import { globalStatistics, isGlobalOutlier, isLocalOutlier, isOverlap, localStatistics } from './yield-flags.ts';
import { gridYield, STANDARD_MOISTURE, yieldKgHa } from './yield-map.ts';
import { weighLog } from './log-mass.ts';

export interface HarvestInput {
  readonly log: HarvestLogRecords;
  readonly frame: Frame;
  /** Metres of the frame; null where a log is looked at alone. */
  readonly boundary: FlatMultiPolygon | null;
  /** Used where the log has no swath width. */
  readonly headerWidthM: number | null;
  /** Cutter bar ahead of the antenna, m. */
  readonly antennaForwardM: number;
  readonly crop: string | null;
  /** Wet mass that the scale gave for this log. */
  readonly scaleTotalKg: number | null;
  /** As a person gives it; null: from the log itself, else the usual one. */
  readonly delayS?: number | null;
  /** Records with these flags count as if they were sound. */
  readonly lifted?: readonly LiftableFlag[];
  /** Side of the field's cells where `grid` is null. */
  readonly cellM: number;
  /** The field's own cells; null: over the log's own box. */
  readonly grid: GridShape | null;
}

export interface HarvestPath {
  /** Whether the path was assumed from boundary, header width and heading. */
  readonly assumed: boolean;
  /** Path points in time order (machine by machine where a log holds several at once); records flagged duplicate-time, position-jump or without a place are left out of the path, never of the log. */
  readonly count: number;
  readonly timeS: Float64Array;
  /** Middle of the cutter bar. */
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  readonly headingDeg: Float64Array;
  /** Of the segment k → k + 1; 0 for the last point. */
  readonly cutting: Uint8Array;
  /** 0 where the clock stands still: a gap in the log. Header up runs. */
  readonly running: Uint8Array;
  readonly swathM: Float32Array;
  /** Index of the record in the log. */
  readonly record: Uint32Array;
  /** −1 outside a pass. */
  readonly pass: Int32Array;
  /** Per record of the log in file order; bits in the order of FLAG_NAMES. */
  readonly flags: Uint16Array;
  readonly flagged: Record<FlagName, number>;
  readonly delay: Pick<Delay, 'valueS' | 'rangeS' | 'decided' | 'correlation' | 'why'>;
  /** Per segment, newly cut inside the boundary. */
  readonly newAreaM2: Float32Array;
  /** Sub-cells nested in the field's cells; first segment that cut each, −1 never cut. The boundary plays no part in it. */
  readonly owner: { readonly grid: GridShape; readonly segment: Int32Array };
  readonly coveredAreaM2: number;
  readonly coveredOutsideM2: number;
  readonly coverageFraction: number | null;
  /** All that the log weighed, at standard moisture; null where the crop's is not known or nothing was weighed. */
  readonly standardMassKg: number | null;
  /** Standard mass over newly cut area, inside and outside; bridged ground has no weight and is left out. */
  readonly meanYieldKgHa: number | null;
  /** Per segment at standard moisture; NaN unusable. */
  readonly yieldKgHa: Float32Array;
  /** From segments without a flag; NaN where a cell has none. */
  readonly yieldGrid: Grid | null;
  readonly bounds: Bounds;
  readonly problems: Problem[];
}

/** What the later flags judge is worth nothing with one of these. */
const NEVER_JUDGED = flagBits(['header-up', 'position-jump', 'duplicate-time']);
/** Neighbours of a yield lie within this many swath widths. *Assumed*: reaches the passes on both sides. */
const NEIGHBOUR_WIDTHS = 1.5;

/**
 * Retraces one log.
 * @returns progress [done, total], then the path
 * @cost O(n) for n records but for sorting and neighbours; 25 000 records in about 0.2 s
 */
export function* retraceHarvest(input: HarvestInput): Generator<readonly [number, number], HarvestPath, void> {
  const { frame, boundary } = input;
  const crop = input.crop ?? input.log.crop;
  const limits = { ...CLEANING_LIMITS, ...moistureLimits(crop) };
  const lifted = input.lifted ?? [];
  /** Of the flags that leave a record out. */
  const counted = ~(FLAG['time-order'] | flagBits(lifted));
  const flags = new Uint16Array(input.log.count);
  const at = (done: number) => [done, 100] as const;

  const rawX = new Float64Array(input.log.count);
  const rawY = new Float64Array(input.log.count);
  frame.toLocalArrays(input.log.lon, input.log.lat, rawX, rawY);
  const farAway = forgetFarAway(rawX, rawY);
  const set = followClock(input.log.timeS, rawX, rawY, input.log.machine);
  const log = set.back.length > 0 ? { ...input.log, timeS: set.timeS } : input.log;
  yield at(5);
  const keepsJumps = lifted.includes('position-jump');
  const order = orderRecords(log.timeS, rawX, rawY, limits, flags, log.machine, keepsJumps);
  const path = followPath({ ...input, log }, order, rawX, rawY, limits, flags);
  const { count, record, xM, yM, timeS, swathM, cutting, running, breakBefore, speedMS, pass, clock } = path;
  yield at(10);

  const grid = input.grid ?? gridWithin(groundBox(boundary, xM, yM, path.usualSwathM || 10), input.cellM);
  const sweep = yield* scaled(sweepSwaths({ xM, yM, cutting, widthM: swathM, grid, boundary }), 10, 45);

  const flowKgS = gather(log.flowKgS, record);
  const found: Delay = estimateDelay(
    { timeS, xM, yM, speedMS, widthM: swathM, flowKgS, headingDeg: path.headingDeg, pass, breakBefore },
    clock.intervalS,
  );
  const delay = typeof input.delayS === 'number' ? givenDelay(input.delayS, found) : found;
  yield at(60);

  const standardFraction = crop === null ? undefined : STANDARD_MOISTURE[crop];
  const mass = weighLog(log, path, order, sweep, {
    delayS: delay.valueS,
    // Moisture that a person believes is taken as it is.
    limits: lifted.includes('moisture-range') ? { ...limits, moistureLowFraction: 0, moistureHighFraction: 1 } : limits,
    standardFraction: standardFraction ?? 0,
    scaleTotalKg: input.scaleTotalKg,
  });
  const put = shiftFlow({ timeS, flowKgS, breakBefore }, delay.valueS, new Float64Array(count));
  const yields = new Float64Array(count).fill(NaN);
  for (let k = 0; k < count; k++) {
    const newM2 = sweep.newInsideM2[k]! + sweep.newOutsideM2[k]!;
    if (cutting[k] === 0 || newM2 === 0 || path.bridged[k] === 1) continue;
    const dryKg = put[k]! * clock.stepS[k]! * (1 - mass.moistureFraction[k]!);
    yields[k] = yieldKgHa((dryKg / (1 - (standardFraction ?? 0))) * mass.scaleFactor, newM2);
    if (isOverlap(newM2, sweep.swathAreaM2[k]!, limits)) flags[record[k]!]! |= FLAG.overlap;
  }

  const ramp = rampOf(
    pass,
    yields,
    (k) => (flags[record[k]!]! & FLAG.overlap & counted) === 0,
    clock.intervalS,
    limits.rampStartS,
  );
  flagRamps(log.timeS, record, pass, { startS: ramp.startS, endS: limits.rampEndS }, flags);
  yield at(65);

  const global = globalStatistics(
    yields,
    gather(flags, record).map((bits) => bits & (counted | FLAG['time-order'])),
  );
  const judged = new Float64Array(count).fill(NaN);
  for (let k = 0; k < count; k++) {
    if (flags[record[k]!]! & NEVER_JUDGED & counted || !Number.isFinite(yields[k]!)) continue;
    judged[k] = yields[k]!;
    if (global !== null && isGlobalOutlier(yields[k]!, global, limits)) flags[record[k]!]! |= FLAG['yield-global'];
  }
  const reference = new Uint8Array(count);
  for (let k = 0; k < count; k++) {
    reference[k] = (flags[record[k]!]! & counted) === 0 && judged[k] === judged[k] ? 1 : 0;
  }
  const radiusM = NEIGHBOUR_WIDTHS * (path.usualSwathM || 9);
  const local = yield* scaled(localStatistics(xM, yM, judged, reference, radiusM), 65, 95);
  for (let k = 0; k < count; k++) if (isLocalOutlier(local, k, limits)) flags[record[k]!]! |= FLAG['yield-local'];

  const known = standardFraction !== undefined;
  const usable = new Float32Array(count);
  for (let k = 0; k < count; k++) usable[k] = (flags[record[k]!]! & counted) === 0 ? yields[k]! : NaN;
  const flagged = countFlags(flags);
  return {
    assumed: false,
    count,
    timeS,
    xM,
    yM,
    headingDeg: path.headingDeg,
    cutting,
    running,
    swathM,
    record,
    pass,
    flags,
    flagged,
    delay: {
      valueS: delay.valueS,
      rangeS: delay.rangeS,
      decided: delay.decided,
      correlation: delay.correlation,
      why: delay.why,
    },
    newAreaM2: sweep.newInsideM2,
    owner: sweep.owner,
    coveredAreaM2: sweep.coveredAreaM2,
    coveredOutsideM2: sweep.coveredOutsideM2,
    coverageFraction: sweep.coverageFraction,
    standardMassKg: known ? mass.totalKg : null,
    meanYieldKgHa: known ? mass.meanKgHa : null,
    yieldKgHa: known ? Float32Array.from(yields) : new Float32Array(count).fill(NaN),
    yieldGrid: known ? gridYield(grid, sweep.owner.segment, sweep.perCell, usable) : null,
    bounds: boxOf(xM, yM, 0),
    problems: tellProblems({ input, crop, order, path, sweep, delay, mass, ramp, flags, flagged, farAway, set }),
  };
}

/** The progress of a part as a stretch of the whole. */
function* scaled<T>(
  part: Generator<readonly [number, number], T, void>,
  from: number,
  to: number,
): Generator<readonly [number, number], T, void> {
  for (;;) {
    const next = part.next();
    if (next.done) return next.value;
    yield [from + ((to - from) * next.value[0]) / next.value[1], 100];
  }
}

/** More cells than this are not kept: a log over a whole county gets larger ones. */
const MOST_CELLS = 16e6;

function gridWithin(box: Bounds, cellM: number): GridShape {
  let grid = gridOver(box, cellM);
  for (let side = cellM; grid.columns * grid.rows > MOST_CELLS; grid = gridOver(box, side)) side *= 2;
  return grid;
}

/** The field's box, or the log's own with half a swath about it. */
function groundBox(boundary: FlatMultiPolygon | null, xM: Float64Array, yM: Float64Array, swathM: number): Bounds {
  if (boundary === null || boundary.length === 0) return boxOf(xM, yM, swathM / 2);
  const boxes = boundary.map((rings) => ringBounds(rings[0]!));
  return [
    Math.min(...boxes.map((box) => box[0])),
    Math.min(...boxes.map((box) => box[1])),
    Math.max(...boxes.map((box) => box[2])),
    Math.max(...boxes.map((box) => box[3])),
  ];
}

function boxOf(xM: Float64Array, yM: Float64Array, marginM: number): Bounds {
  if (xM.length === 0) return [0, 0, 0, 0];
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let k = 0; k < xM.length; k++) {
    minX = Math.min(minX, xM[k]!);
    maxX = Math.max(maxX, xM[k]!);
    minY = Math.min(minY, yM[k]!);
    maxY = Math.max(maxY, yM[k]!);
  }
  return [minX - marginM, minY - marginM, maxX + marginM, maxY + marginM];
}
