import { describe, expect, it } from 'vitest';
import { closeLoad, type MachineLoad } from '../../../shared/harvest/machine-load.ts';
import {
  emptyMachine,
  heldInStream,
  type MachineState,
  type MachineStreams,
  STREAM_IDS,
} from '../../../shared/harvest/machine-streams.ts';
import type { Movement, MovementInput } from '../../../shared/harvest/movement-input.ts';
import { moveSeed } from '../../../shared/harvest/seed-movement.ts';
import { closeTo } from '../../support/close-to.ts';

const machine: MachineStreams = {
  headerLossFraction: 0.22,
  streams: [
    { id: 'grain', share: 0.06, delayS: 10, timeConstantS: 4, exit: 'tank', milled: false },
    { id: 'chaff', share: 0.76, delayS: 5, timeConstantS: 4, exit: 'chaff', milled: true },
    { id: 'straw', share: 0.15, delayS: 4, timeConstantS: 3, exit: 'straw', milled: false },
    { id: 'lodged', share: 0.03, delayS: 0, timeConstantS: 300, exit: 'chaff', milled: true },
  ],
  millKillFraction: 0.5,
  cutterBarToExitM: 8,
  kernels: { chaff: { shape: 'uniform', widthM: 6.3 }, straw: { shape: 'triangular', widthM: 8.1 } },
  slices: 18,
};

const RECORDS = 141;
const GAP_AFTER = 60;

/** Two species and two passes, there and back: a gap of an hour in the log, a record without duration, seed lodged on arrival. */
function input(change: Partial<MovementInput> = {}): MovementInput {
  const index = Float64Array.from({ length: RECORDS }, (_, k) => k);
  const columns = 60;
  const cells = { x0M: 0, y0M: 0, columns, rows: 4, cellM: 5 };
  const grid = { x0M: 0, y0M: 0, columns: 300, rows: 20, cellM: 1 };
  const eastward = (k: number) => k < 70;
  const segment = new Int32Array(6000).fill(-1);
  for (let row = 0; row < 9; row++) for (let x = 0; x < 140; x++) segment[row * 300 + x] = x >> 1;
  for (let row = 9; row < 18; row++) for (let x = 0; x < 140; x++) segment[row * 300 + x] = 70 + ((139 - x) >> 1);
  // Nobody knows what was cut in the gap: as the path has it, nothing.
  const known = segment.map((one) => (one === GAP_AFTER ? -1 : one));
  const patch = (seeds: number, from: number, to: number) =>
    Float64Array.from({ length: columns * 4 }, (_, cell) =>
      cell % columns >= from && cell % columns < to ? seeds : 0,
    );
  const state = emptyMachine(2);
  state.streams.lodged.storeSeeds[1] = 500;
  return {
    path: {
      count: RECORDS,
      timeS: index.map((k) => k + (k > GAP_AFTER ? 3600 : 0) - (k > 30 ? 1 : 0)),
      xM: index.map((k) => (eastward(k) ? 2 * k : 2 * (140 - k))),
      yM: index.map((k) => (eastward(k) ? 4.5 : 13.5)),
      headingDeg: index.map((k) => (eastward(k) ? 90 : 270)),
      cutting: Uint8Array.from(index, (k) => (k === GAP_AFTER ? 0 : 1)),
      running: Uint8Array.from(index, (k) => (k === GAP_AFTER ? 0 : 1)),
    },
    owner: { grid, segment: known },
    cells,
    inField: new Uint8Array(columns * 4).fill(1),
    standing: [patch(10, 6, 14), patch(3, 20, 26)],
    machine,
    state,
    stepM: 2.5,
    stepS: 1,
    recordLoad: true,
    ...change,
  };
}

function move(given: MovementInput): Movement {
  const steps = moveSeed(given);
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
  }
}

/** The same way broken off at a record: what was not yet cut then is not cut. */
function brokenOff(given: MovementInput, record: number): MovementInput {
  const segment = given.owner.segment.map((one) => (one >= record ? -1 : one));
  return { ...given, path: { ...given.path, count: record + 1 }, owner: { ...given.owner, segment } };
}

const closing = { within: 1e-9, because: 'sums of some hundred roundings, relative to all that was taken in' };

describe('what the machine holds along its path', () => {
  const whole = input();
  const moved = move(whole);
  const load = moved.load!;

  it('is written down only where it is asked for, and changes nothing else', () => {
    const quiet = move({ ...whole, recordLoad: false });
    expect(quiet.load).toBeNull();
    expect(quiet.ledger).toEqual(moved.ledger);
    expect(quiet.landed).toEqual(moved.landed);
  });

  it('closes at every record: taken in is held, landed, outside, in the tank or destroyed', () => {
    for (let record = 0; record < RECORDS; record++) {
      for (const channel of [0, 1]) closeTo(closeLoad(load, record, channel), 0, closing);
    }
  });

  it('begins with what came aboard and ends with the ledger', () => {
    expect(load.heldSeeds.lodged[1]).toBe(500);
    for (const channel of [0, 1]) {
      const last = (RECORDS - 1) * 2 + channel;
      const ledger = moved.ledger[channel]!;
      const scale = { within: 1e-9 * moved.standingSeeds[channel]!, because: closing.because };
      closeTo(heldAt(load, last), ledger.leftInMachineSeeds, scale);
      closeTo(load.headerLossSeeds[last]!, ledger.headerLossSeeds, scale);
      closeTo(load.landedSeeds[last]!, ledger.landedByMachineSeeds, scale);
      closeTo(load.outsideSeeds[last]!, ledger.landedOutsideSeeds, scale);
      closeTo(load.tankSeeds[last]!, ledger.grainTankSeeds, scale);
      closeTo(load.destroyedSeeds[last]!, ledger.destroyedSeeds, scale);
    }
  });

  it.each([1, 31, 32, 45, GAP_AFTER, GAP_AFTER + 1, 75, 120])(
    'at record %i is what a harvest broken off there holds',
    (record) => {
      const until = move(brokenOff(whole, record));
      for (const channel of [0, 1]) {
        const at = record * 2 + channel;
        const scale = { within: 1e-9 * moved.standingSeeds[channel]!, because: closing.because };
        for (const id of STREAM_IDS) {
          closeTo(load.heldSeeds[id][at]!, held(until.state, id, channel), scale);
        }
        closeTo(load.landedSeeds[at]!, until.ledger[channel]!.landedByMachineSeeds, scale);
        closeTo(load.tankSeeds[at]!, until.ledger[channel]!.grainTankSeeds, scale);
        closeTo(load.headerLossSeeds[at]!, until.ledger[channel]!.headerLossSeeds, scale);
      }
    },
  );

  it('stands still over a gap of the log', () => {
    const [before, after] = [GAP_AFTER * 2, (GAP_AFTER + 1) * 2];
    for (const id of STREAM_IDS) expect(load.heldSeeds[id][after]).toBe(load.heldSeeds[id][before]);
  });

  it('is empty for a path of no record', () => {
    const none = move(input({ path: { ...whole.path, count: 0 }, owner: emptyOwner(whole) }));
    expect(none.load).toBeNull();
  });
});

function heldAt(load: MachineLoad, at: number): number {
  return STREAM_IDS.reduce((sum, id) => sum + load.heldSeeds[id][at]!, 0);
}
function held(state: MachineState, id: (typeof STREAM_IDS)[number], channel: number): number {
  return heldInStream(state, id, channel);
}
function emptyOwner({ owner }: MovementInput): MovementInput['owner'] {
  return { ...owner, segment: owner.segment.map(() => -1) };
}
