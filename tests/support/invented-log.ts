/** Harvest logs for tests and benchmarks: driven back and forth on an invented field, the truth about them known. */
import { createFrame, type Frame } from '../../shared/geometry/local-frame.ts';
import type { FlatMultiPolygon } from '../../shared/geometry/types.ts';
import { type HarvestInput, type HarvestPath, retraceHarvest } from '../../shared/harvest/harvest-path.ts';
import type { HarvestLogRecords } from '../../shared/model/records.ts';

export const inventedFrame: Frame = createFrame([-96, 42]);

/** Pass of 1 s records at 1.8 m/s, 15 s of turn with the header up. */
const SPEED_MS = 1.8;
const TURN_S = 15;
const START_S = 1.6e9;

export interface InventedLog {
  readonly passS: number;
  readonly passes: number;
  readonly spacingM: number;
  readonly swathM: number;
  readonly delayS: number;
  readonly noise: number;
  readonly seed: number;
}
const USUAL: InventedLog = { passS: 200, passes: 10, spacingM: 8.64, swathM: 9, delayS: 12, noise: 0.05, seed: 1 };

/** kg/ha at the moisture logged. */
export function inventedYield(x: number, y: number): number {
  return 9000 + 1500 * Math.sin(x / 17 + 0.3 * Math.sin(y / 40)) + 900 * Math.cos(x / 7.3 + y / 60);
}

/** Writable columns of a log of so many records, each 1 s, 17 % moisture, 9 m, header down. */
export function emptyLog(count: number): HarvestLogRecords {
  return {
    kind: 'harvest log',
    count,
    timeS: Float64Array.from({ length: count }, (_, i) => START_S + i),
    lon: new Float64Array(count),
    lat: new Float64Array(count),
    flowKgS: new Float32Array(count),
    moistureFraction: new Float32Array(count).fill(0.17),
    swathM: new Float32Array(count).fill(9),
    headerDown: new Uint8Array(count).fill(1),
    headingDeg: new Float32Array(count).fill(NaN),
    speedMS: new Float32Array(count).fill(NaN),
    durationS: new Float32Array(count).fill(NaN),
    row: Uint32Array.from({ length: count }, (_, i) => i + 2),
    bounds: [-96, 42, -95.9, 42.1],
    crop: 'corn',
  };
}

/** Puts a record at a place of the invented frame. */
export function place(log: HarvestLogRecords, i: number, x: number, y: number, frame = inventedFrame): void {
  const [lon, lat] = frame.toLonLat(x, y);
  log.lon[i] = lon;
  log.lat[i] = lat;
}

/** Back and forth from (0, swath/2) to the east, flow delayed. */
export function inventedLog(wishes: Partial<InventedLog> = {}): HarvestLogRecords {
  const { passS, passes, spacingM, swathM, delayS, noise, seed } = { ...USUAL, ...wishes };
  let state = seed;
  const random = () => {
    state = (Math.imul(state, 1664525) + 1013904223) | 0;
    return (state >>> 0) / 2 ** 32 - 0.5;
  };
  const cycle = passS + TURN_S;
  const at = (second: number) => {
    const pass = Math.floor(second / cycle);
    const step = second - pass * cycle;
    const along = Math.min(step, passS) * SPEED_MS;
    const turned = Math.max(0, step - passS) / TURN_S;
    return {
      x: pass % 2 === 0 ? along : passS * SPEED_MS - along,
      y: swathM / 2 + spacingM * (pass + turned),
      down: step < passS,
      pass,
    };
  };
  const log = emptyLog(passes * cycle);
  log.swathM.fill(swathM);
  for (let i = 0; i < log.count; i++) {
    const { x, y, down } = at(i);
    place(log, i, x + 0.03 * random(), y + 0.03 * random());
    log.headerDown[i] = down ? 1 : 0;
    // A record stands for the second that begins with it.
    const cut = i - delayS >= 0 ? at(i - delayS) : null;
    if (cut?.down) {
      const width = cut.pass === 0 ? swathM : Math.min(swathM, spacingM);
      log.flowKgS[i] = inventedYield(cut.x, cut.y) * 1e-4 * SPEED_MS * width * (1 + noise * random());
    }
  }
  return log;
}

/** A rectangle in metres, as a boundary. */
export function rectangle(x0: number, y0: number, x1: number, y1: number): FlatMultiPolygon {
  return [[Float64Array.of(x0, y0, x1, y0, x1, y1, x0, y1)]];
}

/** The log retraced to the end. */
export function retrace(log: HarvestLogRecords, more: Partial<HarvestInput> = {}): HarvestPath {
  const steps = retraceHarvest({
    log,
    frame: inventedFrame,
    boundary: null,
    headerWidthM: 9,
    antennaForwardM: 0,
    crop: 'corn',
    scaleTotalKg: null,
    cellM: 5,
    grid: null,
    ...more,
  });
  for (;;) {
    const next = steps.next();
    if (next.done) return next.value;
  }
}

/** Codes of the problems told. */
export function codes(path: HarvestPath): string[] {
  return path.problems.map((one) => one.code);
}

/** The records of a log in another order of the file, or only some of them. */
export function pick(log: HarvestLogRecords, which: number[]): HarvestLogRecords {
  const out = emptyLog(which.length) as unknown as Record<string, ArrayLike<number>>;
  for (const key of Object.keys(out)) {
    const from = (log as unknown as Record<string, unknown>)[key];
    if (ArrayBuffer.isView(from))
      which.forEach((i, k) => ((out[key] as number[])[k] = (from as unknown as number[])[i]!));
  }
  return out as unknown as HarvestLogRecords;
}
