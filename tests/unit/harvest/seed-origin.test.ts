import { describe, expect, test } from 'vitest';
import { closeLoad } from '../../../shared/harvest/machine-load.ts';
import { emptyMachine, type MachineState, STREAM_IDS, type StreamId } from '../../../shared/harvest/machine-streams.ts';
import type { MachineDrive, MovementInput } from '../../../shared/harvest/movement-input.ts';
import { moveSeed } from '../../../shared/harvest/seed-movement.ts';
import { type SeedOrigin, traceOrigin } from '../../../shared/harvest/seed-origin.ts';
import { driveThrough } from '../../../shared/harvest/machine-drive.ts';
import { sumSeeds } from '../../../shared/harvest/ledger.ts';
import { stream } from '../../../shared/statistics/random.ts';
import { run as finished } from '../../support/run.ts';
import { closeTo } from '../../support/close-to.ts';

const LAW = { within: 1e-12, because: 'both sides sum the same products, a few thousand roundings apart' };

const draws = (seed: number) => {
  const random = stream(seed, 'seed origin');
  return () => random.uniform();
};

/** Two passes with a headland turn between, header up in it, records at uneven times, a stop, and a mill; 3 sub-cells a side. */
function twoPasses(seed: number, { cellM = 5, timesS = 0.4 } = {}): MovementInput {
  const draw = draws(seed);
  const cells = { x0M: -10, y0M: -5, columns: 34, rows: 8, cellM };
  const grid = { x0M: -10, y0M: -5, columns: 34 * 3, rows: 8 * 3, cellM: cellM / 3 };
  const [x, y, heading, cutting, running, time] = [[], [], [], [], [], []] as number[][];
  let now = 0;
  const put = (atX: number, atY: number, deg: number, cuts: boolean, runs = true, stepS = 1 + timesS * draw()) => {
    x!.push(atX);
    y!.push(atY);
    heading!.push(deg);
    cutting!.push(cuts ? 1 : 0);
    running!.push(runs ? 1 : 0);
    time!.push(now);
    now += stepS;
  };
  for (let k = 0; k < 60; k++) put(2 * k, 4.5, 90, true, true, k === 30 ? 20 : k % 17 === 5 ? 0 : undefined);
  for (let k = 0; k < 8; k++) put(120 + 5 * Math.sin((k * Math.PI) / 8), 4.5 + 1.1 * k, 90 - 22.5 * k, false, k !== 4);
  for (let k = 0; k < 60; k++) put(120 - 2 * k, 13.5, 270, k % 20 !== 7);
  put(0, 13.5, 270, false);
  const segment = new Int32Array(grid.columns * grid.rows).fill(-1);
  for (let row = 0; row < grid.rows; row++)
    for (let column = 0; column < grid.columns; column++) {
      const at = Math.floor((grid.x0M + (column + 0.5) * grid.cellM) / 2);
      const up = Math.floor((grid.y0M + (row + 0.5) * grid.cellM) / 9);
      if (at >= 0 && at < 60 && (up === 0 || up === 1)) segment[row * grid.columns + column] = up === 0 ? at : 127 - at;
    }
  const cellCount = cells.columns * cells.rows;
  return {
    path: {
      count: x!.length,
      timeS: Float64Array.from(time!),
      xM: Float64Array.from(x!),
      yM: Float64Array.from(y!),
      headingDeg: Float64Array.from(heading!),
      cutting: Uint8Array.from(cutting!),
      running: Uint8Array.from(running!),
    },
    owner: { grid, segment },
    cells,
    inField: Uint8Array.from({ length: cellCount }, () => (draw() < 0.9 ? 1 : 0)),
    standing: [Float64Array.from({ length: cellCount }, () => (draw() < 0.6 ? 1000 * draw() : 0))],
    machine: {
      headerLossFraction: 0.22,
      streams: [
        { id: 'grain', share: 0.06, delayS: 10, timeConstantS: 4, exit: 'tank', milled: false },
        { id: 'chaff', share: 0.76, delayS: 5, timeConstantS: 4, exit: 'chaff', milled: true },
        { id: 'straw', share: 0.15, delayS: 3.7, timeConstantS: 0, exit: 'straw', milled: false },
        { id: 'lodged', share: 0.03, delayS: 0, timeConstantS: 300, exit: 'chaff', milled: true },
      ],
      millKillFraction: 0.7,
      cutterBarToExitM: 8,
      kernels: {
        chaff: { shape: 'line', widthM: 0.4, offsetsM: [-1.5, 1.5] },
        straw: { shape: 'triangular', widthM: 8 },
      },
      slices: 18,
    },
    state: laden(draw),
    stepM: 2.5,
    stepS: 1,
  };
}

/** A machine with seed in every store and line. */
function laden(draw: () => number): MachineState {
  const one = () => ({
    storeSeeds: Float64Array.of(1e4 * draw()),
    dueStartS: Float64Array.of(0.3, 1.1),
    dueEndS: Float64Array.of(1.1, 2.6),
    lineSeeds: Float64Array.of(1e3 * draw(), 1e3 * draw()),
  });
  return {
    channels: 1,
    streams: Object.fromEntries(STREAM_IDS.map((id) => [id, one()])) as MachineState['streams'],
  };
}

/** ⟨x, origin⟩: seed on the plants and seed aboard. */
function told({ cells, standing, state }: MovementInput, { ofStanding, ofAboard }: SeedOrigin): number {
  const aboard = (id: StreamId) => {
    const { storeSeeds, lineSeeds } = state.streams[id];
    return [
      storeSeeds[0]! * ofAboard[id].store,
      ...[...lineSeeds].map((seeds, batch) => seeds * ofAboard[id].line[batch]!),
    ];
  };
  const stood = [...standing[0]!].map((perM2, cell) => perM2 * cells.cellM ** 2 * ofStanding[cell]!);
  return sumSeeds([...stood, ...STREAM_IDS.flatMap(aboard)]);
}

const traced = (input: MovementInput, place: ArrayLike<number>): SeedOrigin =>
  finished(traceOrigin(input, finished(driveThrough(input)), place));

describe('⟨landed(x), y⟩ = ⟨x, origin(y)⟩', () => {
  test.each([1, 2, 3, 4, 5])('of any seed and any place, draw %i', (seed) => {
    const input = twoPasses(seed);
    const { landed } = finished(moveSeed(input));
    const draw = draws(seed + 100);
    const place = landed[0]!.map(() => (draw() < 0.5 ? draw() : 0));
    const origin = traced(input, place);
    const lies = sumSeeds([...landed[0]!].map((seeds, cell) => seeds * place[cell]!));
    expect(lies).toBeGreaterThan(1e4);
    closeTo(told(input, origin) / lies, 1, LAW);
  });

  test('of one cell, where nearly all of the field does not reach it', () => {
    const input = twoPasses(6);
    const { landed } = finished(moveSeed(input));
    landed[0]!.forEach((seeds, cell) => {
      if (cell % 11 !== 0 || seeds === 0) return;
      const place = new Float64Array(landed[0]!.length);
      place[cell] = 1;
      closeTo(told(input, traced(input, place)) / seeds, 1, LAW);
    });
  });

  test('of whole seconds, where streams with one exit share their sub-steps', () => {
    const whole = twoPasses(7, { timesS: 0 });
    const streams = whole.machine.streams.map((one) => ({ ...one, delayS: Math.round(one.delayS) }));
    const input = { ...whole, machine: { ...whole.machine, streams } };
    const { landed } = finished(moveSeed(input));
    const place = landed[0]!.map((_, cell) => (cell % 34 > 10 && cell % 34 < 16 ? 1 : 0));
    const lies = sumSeeds([...landed[0]!].map((seeds, cell) => seeds * place[cell]!));
    closeTo(told(input, traced(input, place)) / lies, 1, LAW);
  });
});

test('a whole field as the place: each seed is worth what the ledger says lands', () => {
  const input = twoPasses(8);
  const { ledger, landed } = finished(moveSeed(input));
  const all = new Float64Array(landed[0]!.length).fill(1);
  const { headerLossSeeds, landedByMachineSeeds } = ledger[0]!;
  closeTo(told(input, traced(input, all)) / (headerLossSeeds + landedByMachineSeeds), 1, LAW);
});

test('a seed that nobody cut is worth nothing, and no seed is worth more than itself', () => {
  const input = twoPasses(9);
  const { landed } = finished(moveSeed(input));
  const { ofStanding, ofAboard } = traced(input, new Float64Array(landed[0]!.length).fill(1));
  expect(ofStanding[0]).toBe(0);
  expect(Math.max(...ofStanding)).toBeLessThanOrEqual(1);
  expect(Math.min(...ofStanding)).toBe(0);
  expect(ofAboard.grain.store).toBe(0);
  expect(ofAboard.lodged.store).toBeGreaterThan(0);
});

describe('a drive', () => {
  test.each([1, 2, 3])('is the same whether seed is laid down or not, draw %i', (seed) => {
    const input = twoPasses(seed);
    expect(finished(driveThrough(input)).drive).toEqual(finished(moveSeed(input)).drive);
  });

  test.each([1, 2, 3, 4])('carries a part of the seed alone as it does beside all of it, draw %i', (seed) => {
    const input = twoPasses(seed);
    const [all] = input.standing as [Float64Array];
    const ground = all.map((perM2, cell) => (cell % 34 > 22 && cell < 136 ? perM2 : 0));
    const clean = { ...input, state: emptyMachine(2), standing: [all, ground] };
    const beside = finished(moveSeed(clean));
    const alone = finished(
      moveSeed({ ...input, state: emptyMachine(1), standing: [ground], drive: beside.drive, recordLoad: true }),
    );
    const whole = beside.standingSeeds[1]!;
    expect(whole).toBeGreaterThan(0);
    alone.landed[0]!.forEach((seeds, cell) => closeTo((seeds - beside.landed[1]![cell]!) / whole, 0, LAW));
    for (const [line, seeds] of Object.entries(beside.ledger[1]!))
      closeTo((alone.ledger[0]![line as keyof (typeof alone.ledger)[0]] - seeds) / whole, 0, LAW);
    expect(Math.abs(closeLoad(alone.load!, input.path.count - 1, 0))).toBeLessThan(1e-12);
  });

  test('of more seed is followed where the seed alone would have stood still', () => {
    const input = twoPasses(4);
    const late = input.standing[0]!.map((perM2, cell) => (cell >= 102 ? perM2 : 0));
    const alone = { ...input, state: emptyMachine(1), standing: [late] };
    const [own, given] = [finished(driveThrough(alone)).drive, finished(driveThrough(input)).drive];
    const count = (drive: MachineDrive) => drive.passed.reduce((sum, one) => sum + one, 0);
    expect(count(own)).toBeLessThan(count(given));
    const { drive, ledger } = finished(moveSeed({ ...alone, drive: given }));
    expect(drive).toBe(given);
    expect(ledger[0]!.landedByMachineSeeds).toBeGreaterThan(0);
  });
});

test('refuses a drive of another path, and a place of another size', () => {
  const input = twoPasses(1);
  const times = finished(driveThrough(input));
  const place = new Float64Array(input.inField.length);
  const short = { ...times.drive, passed: new Uint8Array(3) };
  expect(() => finished(traceOrigin(input, { ...times, drive: short }, place))).toThrow(/3 segments/);
  expect(() => finished(moveSeed({ ...input, drive: short }))).toThrow(/3 segments/);
  expect(() => traced(input, place.subarray(1))).toThrow(/expected 272 cells, got 271/);
});
