/**
 * Seed movement, timed: a season's field of 25 000 records with three species, and one machine beside the second
 * implementation (tests/reference/seed-movement/check.mjs) on the same path, in the same run. Seeded, warmed, repeated.
 */

import { readFileSync } from 'node:fs';
import { emptyMachine } from '../../shared/harvest/machine-streams.ts';
import { move } from '../reference/seed-movement/support.ts';
import type { MovementInput } from '../../shared/harvest/movement-input.ts';
import { type Row, row } from './row.ts';

const REPEATS = 9;

type Second = (given: object, patches: object[]) => { L: Record<string, number>; landed: Float64Array };

/** The second implementation's `run`: its file compares as it loads, so its functions are taken from its text. */
function secondImplementation(): Second {
  const text = readFileSync(new URL('../reference/seed-movement/check.mjs', import.meta.url), 'utf8');
  const functions = text.slice(text.indexOf('const RAD'), text.indexOf('const bins'));
  return new Function(`${functions}; return run`)() as Second;
}

/** A counter-based draw in [0, 1): the same path on every machine. */
function draw(seed: number, k: number): number {
  let z = (seed + Math.imul(k + 1, 0x9e3779b9)) | 0;
  z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
  z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
  return ((z ^ (z >>> 16)) >>> 0) / 2 ** 32;
}

/** Back and forth over a rectangle, 9 m header, 2 m a record, 4 records a turn; sub-cells of 1 m, cells of 5 m. */
export function field(records: number, channels: number, jitterS: number): MovementInput {
  const perPass = 400;
  const passes = Math.ceil(records / (perPass + 4));
  const lengthM = perPass * 2;
  const timeS = new Float64Array(records);
  const xM = new Float64Array(records);
  const yM = new Float64Array(records);
  const headingDeg = new Float64Array(records);
  const cutting = new Uint8Array(records);
  const running = new Uint8Array(records).fill(1);
  for (let k = 0; k < records; k++) {
    const pass = Math.floor(k / (perPass + 4));
    const along = Math.min(k % (perPass + 4), perPass);
    const turn = (k % (perPass + 4)) - along;
    timeS[k] = k + jitterS * draw(7, k);
    xM[k] = pass % 2 === 0 ? along * 2 : lengthM - along * 2;
    yM[k] = (pass + 0.5) * 9 + (turn / 4) * 9;
    headingDeg[k] = (pass % 2 === 0 ? 90 : 270) - turn * 45 * (pass % 2 === 0 ? 1 : -1);
    cutting[k] = k % (perPass + 4) < perPass ? 1 : 0;
  }
  const cells = { x0M: 0, y0M: 0, columns: lengthM / 5, rows: Math.ceil((passes * 9) / 5), cellM: 5 };
  const grid = { x0M: 0, y0M: 0, columns: cells.columns * 5, rows: cells.rows * 5, cellM: 1 };
  const segment = new Int32Array(grid.columns * grid.rows).fill(-1);
  for (let row = 0; row < passes * 9; row++) {
    for (let column = 0; column < grid.columns; column++) {
      const pass = Math.floor(row / 9);
      const along = pass % 2 === 0 ? column : grid.columns - 1 - column;
      const k = pass * (perPass + 4) + (along >> 1);
      if (k < records - 1) segment[row * grid.columns + column] = k;
    }
  }
  const cellCount = cells.columns * cells.rows;
  const standing = Array.from({ length: channels }, (_, channel) =>
    Float64Array.from({ length: cellCount }, (_, cell) => (draw(channel, cell) > 0.7 ? 1000 * draw(99, cell) : 0)),
  );
  return {
    path: { count: records, timeS, xM, yM, headingDeg, cutting, running },
    owner: { grid, segment },
    cells,
    inField: new Uint8Array(cellCount).fill(1),
    standing,
    machine: {
      headerLossFraction: 0.22,
      streams: [
        { id: 'grain', share: 0.06, delayS: 10, timeConstantS: 4, exit: 'tank', milled: false },
        { id: 'chaff', share: 0.76, delayS: 5, timeConstantS: 4, exit: 'chaff', milled: true },
        { id: 'straw', share: 0.15, delayS: 4, timeConstantS: 3, exit: 'straw', milled: false },
        { id: 'lodged', share: 0.03, delayS: 0, timeConstantS: 300, exit: 'chaff', milled: true },
      ],
      millKillFraction: 0.92,
      cutterBarToExitM: 8,
      kernels: { chaff: { shape: 'uniform', widthM: 6.3 }, straw: { shape: 'triangular', widthM: 8.1 } },
      slices: 18,
    },
    state: emptyMachine(channels),
    stepM: 2.5,
    stepS: 1,
  };
}

interface Timing {
  readonly minMs: number;
  readonly meanMs: number;
  readonly sdMs: number;
}

function time(job: () => unknown, repeats = REPEATS): Timing {
  job();
  job();
  const took: number[] = [];
  for (let k = 0; k < repeats; k++) {
    const start = performance.now();
    job();
    took.push(performance.now() - start);
  }
  const meanMs = took.reduce((a, b) => a + b, 0) / repeats;
  const sdMs = Math.sqrt(took.reduce((sum, ms) => sum + (ms - meanMs) ** 2, 0) / (repeats - 1));
  return { minMs: Math.min(...took), meanMs, sdMs };
}

const print = (what: string, { minMs, meanMs, sdMs }: Timing) =>
  console.log(`${what.padEnd(64)} min ${minMs.toFixed(1)} ms   mean ${meanMs.toFixed(1)} ± ${sdMs.toFixed(1)} ms`);

/** Prints the timings and gives them back. */
export function run(): { field: Timing; uneven: Timing; ours: Timing; second: Timing; ratio: number; rows: Row[] } {
  const whole = field(25_000, 3, 0);
  const uneven = field(25_000, 3, 0.2);
  const timings = { field: time(() => move(whole)), uneven: time(() => move(uneven)) };
  print('25 000 records × 3 species, records 1 s apart', timings.field);
  print('25 000 records × 3 species, uneven records', timings.uneven);

  // the second implementation tests every sub-cell and scans its queue: 1 200 records are enough
  const given = reference();
  const secondRun = secondImplementation();
  const input = field(1_200, 1, 0);
  const oneSpecies: MovementInput = {
    ...input,
    standing: [Float64Array.from(input.standing[0]!, (_, cell) => (cell % input.cells.columns < 40 ? 500 : 0))],
    stepM: 0.25,
    stepS: 0.25,
  };
  const patches = [{ x0: 0, y0: 0, x1: 200, y1: 1e9, seeds_per_m2: 500 }];
  const ours = time(() => move(oneSpecies));
  const second = time(() => secondRun(given(oneSpecies), patches), 3);
  const mine = move(oneSpecies).ledger[0]!;
  const theirs = secondRun(given(oneSpecies), patches).L;
  const apart = Math.abs(mine.landedByMachineSeeds - theirs.landed_by_machine_in_field!) / theirs.on_plant!;
  if (!(apart < 1e-3)) throw new Error(`the two implementations landed ${apart} of the seed apart`);
  print('1 200 records × 1 species, sub-steps 0.25 m: ours', ours);
  print('the same, second implementation (cuts sub-cells too)', second);
  const ratio = second.meanMs / ours.meanMs;
  console.log(`ratio second / ours ${ratio.toFixed(1)}; landed seed ${apart.toExponential(1)} of the seed apart`);
  const rows = [
    row('25 000 records, three species', 25_000 / (timings.field.minMs / 1000), 'records/s'),
    row('time of the second implementation over ours', ratio, ''),
  ];
  return { ...timings, ours, second, ratio, rows };
}

/** The same input in the second implementation's own words. */
function reference() {
  return ({ path, cells, machine, stepM, stepS }: MovementInput) => ({
    grid: { x0: 0, y0: 0, nx: cells.columns, ny: cells.rows, cell_m: cells.cellM, sub_cells_per_side: 5 },
    boundary_box: [0, 0, cells.columns * cells.cellM, cells.rows * cells.cellM],
    path: {
      t: Array.from(path.timeS),
      x: Array.from(path.xM),
      y: Array.from(path.yM),
      heading_deg: Array.from(path.headingDeg),
      cutting: Array.from(path.cutting),
      running: Array.from(path.running),
    },
    machine: {
      header_m: 9,
      header_loss: machine.headerLossFraction,
      exit_behind_m: machine.cutterBarToExitM,
      step_m: stepM,
      step_s: stepS,
      streams: machine.streams.map((stream) => ({
        name: stream.id,
        fraction: stream.share,
        delay_s: stream.delayS,
        tau_s: stream.timeConstantS,
        exit: stream.exit,
        mill_kill: stream.milled ? machine.millKillFraction : 0,
      })),
      kernels: {
        chaff: { kind: machine.kernels.chaff.shape, width_m: machine.kernels.chaff.widthM, n: machine.slices },
        straw: { kind: machine.kernels.straw.shape, width_m: machine.kernels.straw.widthM, n: machine.slices },
      },
    },
  });
}
