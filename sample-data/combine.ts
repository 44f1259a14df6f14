/**
 * The combine driven over a standing crop in steps of a quarter second: what it cuts, what its sensor shows, and where every weed
 * seed goes. The planted truth: written for the sample alone and shared with nothing that is tested against it.
 * A fine cell belongs to the header that first covers its centre.
 */
import { atan2, PI } from './elementary.ts';
import { smoothNoise, streamOf } from './draws.ts';
import { HEADER_M, type Kind, type Piece } from './drive.ts';
import { COMBINE, SeedFate, STEP_S, storeShares } from './seed-fate.ts';
import { FINE_M } from './soil-raster.ts';
import { bySpecies, sumOver, type BySpecies, type Stand } from './stand.ts';
import { SPECIES } from './weeds.ts';

/** Standing at the gate with the separator running until it is empty. */
const AT_THE_GATE_S = 30;
const STOP_S = 28;
const BAR_SAMPLES = 28;
const SLICES = 5;
const FINE_M2 = FINE_M * FINE_M;

export interface Sensor {
  readonly delayS: number;
  readonly mixingS: number;
  readonly moistureFraction: number;
  readonly marketMoistureFraction: number;
  readonly speedMS: number;
}

/** Seed aboard by species. */
export type Aboard = BySpecies<number>;

export interface SeedLedger {
  readonly onPlant: number;
  readonly carriedIn: number;
  readonly leftStanding: number;
  readonly headerLoss: number;
  readonly landedInField: number;
  readonly landedOutside: number;
  readonly grainTank: number;
  readonly carriedOut: number;
}

/** One element a second: the state at its start, the grain of the second that follows. */
export interface Trace {
  readonly count: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly headingDeg: Float64Array;
  readonly speedMS: Float64Array;
  readonly headerDown: Uint8Array;
  /** Index into KINDS. */
  readonly kind: Uint8Array;
  readonly flowKgS: Float64Array;
  readonly moistureFraction: Float64Array;
}

export const KINDS: readonly Kind[] = ['lap', 'pass', 'turn'];
const PASS = 1;
const TURN = 2;

export interface Harvested {
  readonly trace: Trace;
  readonly ledger: BySpecies<SeedLedger>;
  readonly aboard: Aboard;
  /** Seed laid down by the machine, without the header's loss. */
  readonly landedPerM2: BySpecies<Float64Array>;
  readonly grainKg: number;
  readonly cutM2: number;
}

/** A way as one line: point, header and kind of the stretch that starts there, distance driven to it. */
interface Way {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly down: Uint8Array;
  readonly kind: Uint8Array;
  readonly at: Float64Array;
  /** Direction of the stretch that starts at a point. */
  readonly ux: Float64Array;
  readonly uy: Float64Array;
}

function joined(pieces: readonly Piece[]): Way {
  const [x, y, down, kind, at]: number[][] = [[], [], [], [], []];
  for (const { points, headerDown, kind: pieceKind } of pieces) {
    for (const [px, py] of points) {
      const last = x!.length - 1;
      let driven = 0;
      if (last >= 0) {
        const [dx, dy] = [px - x![last]!, py - y![last]!];
        const step = Math.sqrt(dx * dx + dy * dy);
        driven = at![last]! + step;
        if (step < 1e-6) {
          down![last] = headerDown ? 1 : 0;
          kind![last] = KINDS.indexOf(pieceKind);
          continue;
        }
      }
      x!.push(px);
      y!.push(py);
      down!.push(headerDown ? 1 : 0);
      kind!.push(KINDS.indexOf(pieceKind));
      at!.push(driven);
    }
  }
  return {
    x: new Float64Array(x!),
    y: new Float64Array(y!),
    down: new Uint8Array(down!),
    kind: new Uint8Array(kind!),
    at: new Float64Array(at!),
    ux: Float64Array.from(x!, (from, i) => (i + 1 < x!.length ? (x![i + 1]! - from) / (at![i + 1]! - at![i]!) : 0)),
    uy: Float64Array.from(y!, (from, i) => (i + 1 < y!.length ? (y![i + 1]! - from) / (at![i + 1]! - at![i]!) : 1)),
  };
}

/** Where the header changes its state, as distances driven. */
function changesOf(way: Way): number[] {
  const changes: number[] = [];
  for (let i = 1; i < way.x.length; i++) if (way.down[i] !== way.down[i - 1]) changes.push(way.at[i]!);
  changes.push(way.at.at(-1)!);
  return changes;
}

export function harvest(
  name: string,
  pieces: readonly Piece[],
  stand: Stand,
  sensor: Sensor,
  aboard: Aboard,
): Harvested {
  const way = joined(pieces);
  const changes = changesOf(way);
  const { state, fineColumns, fineRows, grid, insideM2 } = stand.raster;
  const { x0M, y0M, columns } = grid;
  const landed = bySpecies(() => new Float64Array(columns * grid.rows));
  const fates = SPECIES.map((species) => new SeedFate(aboard[species]));
  const seedMaps = SPECIES.map((species) => stand.onPlantPerM2[species]);
  const landedMaps = SPECIES.map((species) => landed[species]);
  const present = seedMaps.map((map, i) => aboard[SPECIES[i]!] > 0 || map.some((seeds) => seeds > 0));
  const [seeds0, seeds1, seeds2] = seedMaps as [Float64Array, Float64Array, Float64Array];
  const grains = stand.yieldKgM2;
  const cellRow = Int32Array.from({ length: fineRows }, (_, j) => Math.floor(j / 10) * columns);
  const cellColumn = Int32Array.from({ length: fineColumns }, (_, i) => Math.floor(i / 10));
  const cut = new Float64Array(4);

  const isOn = (fx: number, fy: number): boolean => fx >= 0 && fy >= 0 && fx < fineColumns && fy < fineRows;
  const cutAt = (x: number, y: number, ux: number, uy: number): void => {
    const apart = HEADER_M / BAR_SAMPLES / FINE_M;
    let fx = (x - x0M) / FINE_M - ((BAR_SAMPLES - 1) / 2) * apart * uy;
    let fy = (y - y0M) / FINE_M + ((BAR_SAMPLES - 1) / 2) * apart * ux;
    const [dx, dy] = [apart * uy, -apart * ux];
    const whole = isOn(fx, fy) && isOn(fx + BAR_SAMPLES * dx, fy + BAR_SAMPLES * dy);
    for (let k = 0; k < BAR_SAMPLES; k++, fx += dx, fy += dy) {
      if (!whole && !isOn(fx, fy)) continue;
      const i = fx | 0;
      const j = fy | 0;
      const fine = j * fineColumns + i;
      if (state[fine] !== 1) continue;
      state[fine] = 2;
      const cell = cellRow[j]! + cellColumn[i]!;
      cut[0]! += seeds0[cell]!;
      cut[1]! += seeds1[cell]!;
      cut[2]! += seeds2[cell]!;
      cut[3]! += grains[cell]!;
    }
  };
  const slices = new Int32Array(2 * SLICES);
  const findSlices = (x: number, y: number, ux: number, uy: number): void => {
    for (let k = 0; k < 2 * SLICES; k++) {
      const width = k < SLICES ? COMBINE.chaffWidthM : COMBINE.strawWidthM;
      const aside = (((k % SLICES) - (SLICES - 1) / 2) / SLICES) * width;
      const fx = (x + aside * uy - x0M) / FINE_M;
      const fy = (y - aside * ux - y0M) / FINE_M;
      const inside = isOn(fx, fy) && state[(fy | 0) * fineColumns + (fx | 0)] !== 0;
      slices[k] = inside ? cellRow[fy | 0]! + cellColumn[fx | 0]! : -1;
    }
  };
  const land = (fate: SeedFate, map: Float64Array): void => {
    const [byChaff, byStraw] = [fate.chaffOut / SLICES, fate.strawOut / SLICES];
    fate.chaffOut = fate.strawOut = 0;
    for (let k = 0; k < 2 * SLICES; k++) {
      const seeds = k < SLICES ? byChaff : byStraw;
      const cell = slices[k]!;
      if (cell < 0) fate.landedOutside += seeds;
      else {
        fate.landedInField += seeds;
        map[cell]! += seeds;
      }
    }
  };

  const mixing = storeShares(sensor.mixingS);
  const sensorSteps = Math.floor(sensor.delayS / STEP_S + 0.5);
  const grainIn = new Float64Array(64);
  let [sensorHeld, flowKg, grainKg] = [0, 0, 0];

  const [px, py, heading, speeds, down, kinds, flow, moisture]: number[][] = [[], [], [], [], [], [], [], []];
  const wander = streamOf(`speed ${name}`);
  const damp = streamOf(`moisture ${name}`);
  const total = way.at.at(-1)!;
  const stops = [0.31 * total, 0.72 * total];
  const lastSegment = way.x.length - 2;
  const gateSteps = AT_THE_GATE_S / STEP_S;
  let [at, segment, change, speed, stopUntil, waited, stopped] = [0, 0, 0, 0, -1, 0, 0];
  let [x, y, cruise] = [way.x[0]!, way.y[0]!, 0];
  let ux = way.ux[0]!;
  let uy = way.uy[0]!;

  for (let step = 0; waited < gateSteps || step % 4 !== 0; step++) {
    const atGate = at >= total;
    if (atGate) waited++;
    const kind = atGate ? TURN : way.kind[segment]!;
    if (step % 4 === 0) {
      const degrees = (atan2(ux, uy) * 180) / PI;
      px!.push(x);
      py!.push(y);
      heading!.push(degrees < 0 ? degrees + 360 : degrees);
      speeds!.push(speed);
      down!.push(atGate ? 0 : way.down[segment]!);
      kinds!.push(kind);
      moisture!.push(sensor.moistureFraction * (1 + 0.06 * smoothNoise(damp, x, y, 260)));
      flowKg = 0;
      cruise = sensor.speedMS * (1 + 0.07 * smoothNoise(wander, step / 240, 0, 1));
    }

    let wanted = kind === TURN ? 1.7 : changes[change]! - at < 7 ? Math.min(cruise, 1.5) : cruise;
    if (stopped < stops.length && at > stops[stopped]! && kind === PASS) {
      stopped++;
      stopUntil = step + STOP_S / STEP_S;
    }
    if (atGate || step < stopUntil) wanted = 0;
    speed += Math.max(-0.3, Math.min(0.13, wanted - speed));
    if (speed < 0.02 && wanted > 0) speed = 0.02;

    cut.fill(0);
    const advance = Math.min(speed * STEP_S, total - at);
    const substeps = Math.max(1, Math.ceil(advance / 0.33));
    for (let k = 0; k < substeps && at < total; k++) {
      at += advance / substeps;
      if (at > total - 1e-9) at = total;
      while (segment < lastSegment && at >= way.at[segment + 1]!) {
        segment++;
        ux = way.ux[segment]!;
        uy = way.uy[segment]!;
      }
      while (change < changes.length - 1 && at >= changes[change]!) change++;
      const along = at - way.at[segment]!;
      x = way.x[segment]! + along * ux;
      y = way.y[segment]! + along * uy;
      if (way.down[segment]) cutAt(x, y, ux, uy);
    }

    const kg = cut[3]! * FINE_M2;
    grainIn[step & 63] = kg;
    grainKg += kg;
    const late = grainIn[(step - sensorSteps) & 63]!;
    const shown = sensorHeld * mixing.leaves + late * mixing.early;
    sensorHeld += late - shown;
    flowKg += shown;
    if (step % 4 === 3) flow!.push((flowKg * (1 - sensor.marketMoistureFraction)) / (1 - moisture!.at(-1)!));

    const lands = step % 2 === 1;
    if (lands) findSlices(x - COMBINE.cutterToExitM * ux, y - COMBINE.cutterToExitM * uy, ux, uy);
    for (let s = 0; s < fates.length; s++) {
      if (!present[s]) continue;
      const fate = fates[s]!;
      fate.pass(cut[s]! * FINE_M2);
      if (lands) land(fate, landedMaps[s]!);
    }
  }

  let cutCells = 0;
  const standing = new Float64Array(columns * grid.rows);
  for (let j = 0; j < fineRows; j++) {
    for (let i = 0; i < fineColumns; i++) {
      const fine = state[j * fineColumns + i];
      if (fine === 2) cutCells++;
      if (fine === 1) standing[cellRow[j]! + cellColumn[i]!]! += FINE_M2;
    }
  }
  const ledger = bySpecies((species): SeedLedger => {
    const fate = fates[SPECIES.indexOf(species)]!;
    const map = stand.onPlantPerM2[species];
    const sum = (overM2: Float64Array) => sumOver(map, overM2);
    return {
      onPlant: sum(insideM2),
      carriedIn: aboard[species],
      leftStanding: sum(standing),
      headerLoss: fate.headerLoss,
      landedInField: fate.landedInField,
      landedOutside: fate.landedOutside,
      grainTank: fate.grainTank,
      carriedOut: fate.aboard(),
    };
  });
  for (const map of landedMaps) {
    for (let cell = 0; cell < map.length; cell++) if (insideM2[cell]! > 0) map[cell]! /= insideM2[cell]!;
  }
  return {
    trace: {
      count: px!.length,
      x: new Float64Array(px!),
      y: new Float64Array(py!),
      headingDeg: new Float64Array(heading!),
      speedMS: new Float64Array(speeds!),
      headerDown: new Uint8Array(down!),
      kind: new Uint8Array(kinds!),
      flowKgS: new Float64Array(flow!),
      moistureFraction: new Float64Array(moisture!),
    },
    ledger,
    aboard: bySpecies((species) => ledger[species].carriedOut),
    landedPerM2: landed,
    grainKg,
    cutM2: cutCells * FINE_M2,
  };
}
