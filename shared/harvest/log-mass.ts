/**
 * What a log weighed: total mass at standard moisture, and the mean yield that it means.
 * @source methods-season §1.3: the field mean is Σ mass / Σ area, never the mean of the records
 */
import type { HarvestLogRecords } from '../model/records.ts';
import type { CleaningLimits, RecordOrder } from './clean-log.ts';
import type { FollowedPath } from './followed-path.ts';
import { medianOf } from '../statistics/median.ts';
import type { Sweep } from './sweep.ts';
import { standardMassKg } from './yield-map.ts';

export interface LogMass {
  /** At standard moisture, times `scaleFactor`; null where no flow was logged. */
  readonly totalKg: number | null;
  readonly meanKgHa: number | null;
  /** Scale total / wet mass of the log; 1 without a scale total. */
  readonly scaleFactor: number;
  readonly wetKg: number;
  /** Moisture that each path point's mass is taken at. */
  readonly moistureFraction: Float64Array;
  /** Records whose own moisture is missing or out of range, and the median that stands in. */
  readonly moistureFilled: number;
  readonly moistureStandIn: number;
}

/**
 * Every record counts, flagged or not, with the header down, and after header-up as long as grain still arrives (the
 * delay). A point whose flow is weighed but whose ground is not measured (the last before a gap) weighs in the total and
 * is left out of the mean.
 * @param standardFraction moisture at which the crop is traded
 * @cost O(n)
 */
export function weighLog(
  log: HarvestLogRecords,
  path: FollowedPath,
  order: RecordOrder,
  sweep: Sweep,
  settings: {
    readonly delayS: number;
    readonly limits: CleaningLimits;
    readonly standardFraction: number;
    readonly scaleTotalKg: number | null;
  },
): LogMass {
  const { delayS, limits, standardFraction, scaleTotalKg } = settings;
  const { count, record, timeS, clock, headerDown, running, bridged } = path;
  const slack = 1e-6;
  const inRange = (m: number) => m >= limits.moistureLowFraction - slack && m <= limits.moistureHighFraction + slack;

  const good = new Float64Array(count).fill(NaN);
  for (let k = 0; k < count; k++) {
    const m = log.moistureFraction[record[k]!]!;
    if (inRange(m)) good[k] = m;
  }
  const median = medianOf(good);
  const moistureStandIn = median === median ? median : standardFraction;
  const moistureFraction = new Float64Array(count);
  let moistureFilled = 0;
  for (let k = 0; k < count; k++) {
    const m = log.moistureFraction[record[k]!]!;
    moistureFraction[k] = inRange(m) ? m : moistureStandIn;
    if (!inRange(m) && headerDown[k] === 1) moistureFilled++;
  }

  let wetKg = 0;
  let totalKg = 0;
  let unmeasuredKg = 0;
  let weighed = 0;
  let lastDownS = -Infinity;
  for (let k = 0; k < count; k++) {
    if (headerDown[k] === 1) lastDownS = timeS[k]!;
    const flow = log.flowKgS[record[k]!]!;
    if (flow !== flow || timeS[k]! - lastDownS > delayS + limits.gapS) continue;
    const massKg = standardMassKg(flow, clock.durationS[k]!, moistureFraction[k]!, standardFraction);
    weighed++;
    wetKg += flow * clock.durationS[k]!;
    totalKg += massKg;
    if (headerDown[k] === 1 && (running[k] === 0 || bridged[k] === 1)) unmeasuredKg += massKg;
  }
  // A jump's place is wrong, its grain is not. Where steps stand for durations the record before has its time already.
  let next = 0;
  for (const i of order.kept) {
    if (record[next] === i) {
      next++;
      continue;
    }
    const flow = log.flowKgS[i]!;
    if (flow !== flow || !(log.durationS[i]! > 0) || log.headerDown[i] === 0) continue;
    const m = log.moistureFraction[i]!;
    const massKg = standardMassKg(flow, log.durationS[i]!, inRange(m) ? m : moistureStandIn, standardFraction);
    wetKg += flow * log.durationS[i]!;
    totalKg += massKg;
    unmeasuredKg += massKg;
  }

  let areaM2 = sweep.coveredAreaM2 + sweep.coveredOutsideM2;
  for (let k = 0; k < count; k++) if (bridged[k] === 1) areaM2 -= sweep.newInsideM2[k]! + sweep.newOutsideM2[k]!;
  const scaleFactor = scaleTotalKg !== null && scaleTotalKg > 0 && wetKg > 0 ? scaleTotalKg / wetKg : 1;
  return {
    totalKg: weighed > 0 ? totalKg * scaleFactor : null,
    meanKgHa: weighed > 0 && areaM2 > 0 ? (((totalKg - unmeasuredKg) * scaleFactor) / areaM2) * 1e4 : null,
    scaleFactor,
    wetKg,
    moistureFraction,
    moistureFilled,
    moistureStandIn,
  };
}
