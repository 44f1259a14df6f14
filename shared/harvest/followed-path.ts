/**
 * The path of the cutter bar in time order, with what each segment does: cuts, runs, or is a pause of the log.
 * @source methods-season §1.1 (1–9), §2.1–2.3
 */
import { type CleaningLimits, FLAG, flagMotion, type RecordOrder } from './clean-log.ts';
import { gather } from './gather.ts';
import type { HarvestInput } from './harvest-path.ts';
import { segmentPasses, travelHeadings } from './passes.ts';
import { pointSpeeds, readClock, type RecordClock } from './record-clock.ts';

/** @source methods-season §2.3 (gap bridging), *assumed* */
const BRIDGE = { longestS: 60, speedFraction: 0.25, headingDeg: 20 };
const PASS = { turnDeg: 60, minRecords: 3 };
const RADIAN = Math.PI / 180;

export interface FollowedPath {
  readonly count: number;
  readonly record: Uint32Array;
  readonly timeS: Float64Array<ArrayBuffer>;
  readonly xM: Float64Array<ArrayBuffer>;
  readonly yM: Float64Array<ArrayBuffer>;
  readonly headingDeg: Float64Array<ArrayBuffer>;
  readonly speedMS: Float64Array<ArrayBuffer>;
  readonly swathM: Float32Array<ArrayBuffer>;
  readonly headerDown: Uint8Array;
  readonly cutting: Uint8Array<ArrayBuffer>;
  readonly running: Uint8Array<ArrayBuffer>;
  /** Segment k → k + 1 closes a gap. */
  readonly bridged: Uint8Array;
  /** A gap, or a step that no combine can drive, lies before the point. */
  readonly breakBefore: Uint8Array;
  readonly pass: Int32Array;
  readonly clock: RecordClock;
  readonly usualSwathM: number;
  readonly headerKnown: boolean;
  readonly headings: 'logged' | 'from positions' | 'logged, not believed';
  /** Records with the header down whose swath neither log nor machine gives; those that took the machine's. */
  readonly swathMissing: number;
  readonly swathFromMachine: number;
  /** Steps faster than any combine drives that no single jump explains. */
  readonly undrivable: number;
}

/** Builds the path and sets the flags of motion and `bridged`. @cost O(n log n) */
export function followPath(
  input: HarvestInput,
  order: RecordOrder,
  rawX: Float64Array,
  rawY: Float64Array,
  limits: CleaningLimits,
  flags: Uint16Array,
): FollowedPath {
  const { log, headerWidthM, antennaForwardM } = input;
  const record = order.path;
  const count = record.length;
  const timeS = gather(log.timeS, record);
  const xM = gather(rawX, record);
  const yM = gather(rawY, record);
  const clock = readClock(timeS, gather(log.durationS, record), limits);

  const breakBefore = new Uint8Array(count);
  let undrivable = 0;
  for (let k = 1; k < count; k++) {
    const stepS = timeS[k]! - timeS[k - 1]!;
    if (stepS > clock.gapS || stepS < 0) breakBefore[k] = 1;
    else if (apartM(xM, yM, k - 1) > limits.jumpSpeedMS * stepS) {
      breakBefore[k] = 1;
      undrivable++;
    }
  }
  const loggedSpeed = gather(log.speedMS, record);
  const speedMS = pointSpeeds(xM, yM, clock.stepS, breakBefore, loggedSpeed);
  const { headingDeg, headings } = chooseHeadings(
    gather(log.headingDeg, record),
    travelHeadings(xM, yM, breakBefore),
    speedMS,
  );

  const believesUp = input.lifted?.includes('header-up') !== true;
  // A width of 0 is a header with every section shut: it cuts nothing, as if it were up.
  const swathM = new Float32Array(count);
  const headerDown = new Uint8Array(count);
  let swathMissing = 0;
  let swathFromMachine = 0;
  for (let k = 0; k < count; k++) {
    const logged = log.swathM[record[k]!]!;
    swathM[k] = logged === logged ? logged : (headerWidthM ?? NaN);
    headerDown[k] = (believesUp ? log.headerDown[record[k]!] !== 0 : true) && logged !== 0 ? 1 : 0;
    if (headerDown[k] === 0 || logged === logged) continue;
    if (headerWidthM === null) swathMissing++;
    else swathFromMachine++;
  }
  const usualSwathM = Float32Array.from(swathM).sort()[count >> 1] ?? NaN;
  const headerKnown = headerDown.includes(0);

  const speedOfRecord = new Float64Array(log.count);
  for (let i = 0; i < log.count; i++) speedOfRecord[i] = log.speedMS[i]!;
  const downOfRecord = Uint8Array.from(log.headerDown);
  for (let k = 0; k < count; k++) {
    speedOfRecord[record[k]!] = speedMS[k]!;
    if (believesUp) downOfRecord[record[k]!] = headerDown[k]!;
  }
  flagMotion(
    {
      timeS: log.timeS,
      xM: rawX,
      yM: rawY,
      speedMS: speedOfRecord,
      headerDown: downOfRecord,
      moistureFraction: log.moistureFraction,
    },
    order,
    clock.gapS,
    limits,
    flags,
  );
  const pass = segmentPasses(timeS, headerDown, headingDeg, { gapS: clock.gapS, ...PASS }, breakBefore);

  const cutting = new Uint8Array(count);
  const running = new Uint8Array(count);
  const bridged = new Uint8Array(count);
  for (let k = 0; k + 1 < count; k++) {
    if (breakBefore[k + 1] === 1) {
      if (!bridges(k)) continue;
      bridged[k] = 1;
      flags[record[k + 1]!]! |= FLAG.bridged;
    }
    running[k] = 1;
    // Without a header state a turn looks like cutting: then only passes cut.
    cutting[k] = headerDown[k] === 1 && (headerKnown || pass[k]! >= 0) ? 1 : 0;
  }

  function bridges(k: number): boolean {
    const gapS = timeS[k + 1]! - timeS[k]!;
    if (headerDown[k] === 0 || headerDown[k + 1] === 0 || gapS <= clock.gapS || gapS > BRIDGE.longestS) return false;
    const speed = speedMS[k]!;
    const straight = apartM(xM, yM, k) / gapS;
    if (!(Math.abs(straight - speed) / speed <= BRIDGE.speedFraction)) return false;
    return Math.abs(turnDeg(headingDeg[k]!, headingDeg[k + 1]!)) <= BRIDGE.headingDeg;
  }

  if (antennaForwardM !== 0) {
    for (let k = 0; k < count; k++) {
      const heading = headingDeg[k]! * RADIAN;
      if (heading !== heading) continue;
      xM[k]! += antennaForwardM * Math.sin(heading);
      yM[k]! += antennaForwardM * Math.cos(heading);
    }
  }
  return {
    count,
    record,
    timeS,
    xM,
    yM,
    headingDeg,
    speedMS,
    swathM,
    headerDown,
    cutting,
    running,
    bridged,
    breakBefore,
    pass,
    clock,
    usualSwathM,
    headerKnown,
    headings,
    swathMissing,
    swathFromMachine,
    undrivable,
  };
}

function apartM(xM: Float64Array, yM: Float64Array, k: number): number {
  const dx = xM[k + 1]! - xM[k]!;
  const dy = yM[k + 1]! - yM[k]!;
  return Math.sqrt(dx * dx + dy * dy);
}

/** Signed turn from one heading to another, −180 to 180 degrees. */
function turnDeg(from: number, to: number): number {
  return ((((to - from + 180) % 360) + 360) % 360) - 180;
}

/** Logged headings where the log has them and they point where the machine goes; else from positions. */
function chooseHeadings(
  logged: Float64Array<ArrayBuffer>,
  travelled: Float64Array<ArrayBuffer>,
  speedMS: Float64Array,
): Pick<FollowedPath, 'headingDeg' | 'headings'> {
  let known = 0;
  let compared = 0;
  let astray = 0;
  for (let k = 0; k < logged.length; k++) {
    if (logged[k] !== logged[k]) continue;
    known++;
    if (!(speedMS[k]! > 0.5) || travelled[k] !== travelled[k]) continue;
    compared++;
    if (Math.abs(turnDeg(logged[k]!, travelled[k]!)) > 45) astray++;
  }
  if (known === 0) return { headingDeg: travelled, headings: 'from positions' };
  if (astray > 0.5 * compared) return { headingDeg: travelled, headings: 'logged, not believed' };
  for (let k = 0; k < logged.length; k++) if (logged[k] !== logged[k]) logged[k] = travelled[k]!;
  return { headingDeg: logged, headings: 'logged' };
}
