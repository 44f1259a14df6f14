/**
 * Where weed seed goes at harvest: the combine cuts it, loses some at the header, carries the rest through four streams
 * and lets it fall where it is when the seed leaves. Exact between the records but for the even rate inside a record.
 */

import { sumCutSeed } from './cut-seed.ts';
import type { CutSeed } from './cut-seed.ts';
import { DrivenSegment } from './driven-segment.ts';
import { CompensatedSums, assertClosed } from './ledger.ts';
import type { Ledger } from './ledger.ts';
import { emptyLoad, type MachineLoad } from './machine-load.ts';
import { heldSeeds } from './machine-streams.ts';
import type { MachineState, StreamId, StreamState } from './machine-streams.ts';
import { assertInput, type MachineDrive, type Movement, type MovementInput } from './movement-input.ts';
import { RunningStream } from './running-stream.ts';
import { holdsAny, SeedFall } from './seed-fall.ts';

/** Less than this share of a channel's seed aboard, and nothing cut: the machine is left alone, seed stays aboard. */
export const NOTHING_HELD_FRACTION = 1e-10;
/** The same where the drive is given: nothing that could be told is left out. */
const ROUNDING_FRACTION = 1e-17;
const SEGMENTS_A_TURN = 1024;

/**
 * Moves the standing seed, and what the machine brought, along a path.
 *
 * Conventions: a segment that cuts runs, whatever the log says; where neither, the machine's clock stands still. Seed cut
 * in a segment of no duration enters in the next that lasts. Seed lands at the position and heading at the middle of its
 * sub-step; n = max(1, ⌈distance or turn of the exit / stepM⌉, ⌈Δt / stepS⌉) sub-steps a segment, shared out over the
 * pieces between changes of a delayed rate.
 * @returns progress as [done, total], then the movement; every run's ledger is closed to 1e-12 or it throws
 * @throws where arrays do not fit each other, a number is not finite, or the machine is none
 * @source methods-season §4.2–4.3; reference cases `seed-movement`
 * @cost O(sub-cells + segments × sub-steps × slices), the channels an inner loop
 */
export function* moveSeed(input: MovementInput): Generator<readonly [number, number], Movement, void> {
  assertInput(input);
  const { path, machine } = input;
  const segments = Math.max(0, path.count - 1);
  const cutting = sumCutSeed({ ...input, segments, headerLossFraction: machine.headerLossFraction });
  let cut = cutting.next();
  while (!cut.done) {
    yield [0, segments];
    cut = cutting.next();
  }
  const run = new MovementRun(input, cut.value);
  for (let from = 0; from < segments; from += SEGMENTS_A_TURN) {
    run.pass(from, Math.min(segments, from + SEGMENTS_A_TURN));
    yield [Math.min(segments, from + SEGMENTS_A_TURN), segments];
  }
  return run.finish();
}

class MovementRun {
  private readonly channels: number;
  private readonly streams: RunningStream[];
  private readonly fall: SeedFall;
  private readonly landed: Float64Array;
  private readonly entering: Float64Array;
  private readonly nothingHeld: Float64Array;
  private readonly carriedIn: Float64Array;
  private readonly tank: CompensatedSums;
  private readonly destroyed: CompensatedSums;
  /** What leaves alive, sub-step × channels + channel: by either exit together, and by one piece of one stream. */
  private readonly leaving: Record<'chaff' | 'straw' | 'piece', Float64Array>;
  private readonly load: MachineLoad | null;
  private readonly segment: DrivenSegment;
  private readonly drive: MachineDrive;
  private clockS = 0;

  constructor(
    private readonly input: MovementInput,
    private readonly cut: CutSeed,
  ) {
    const { machine, state } = input;
    const channels = (this.channels = input.standing.length);
    const total = machine.streams.reduce((sum, { share }) => sum + share, 0);
    this.streams = machine.streams.map(
      (stream) => new RunningStream(stream, stream.share / total, machine.millKillFraction, state.streams[stream.id]),
    );
    this.landed = cut.headerLossByCell.slice();
    this.fall = new SeedFall(input, this.landed);
    this.segment = new DrivenSegment(input);
    const segments = Math.max(0, input.path.count - 1);
    this.drive = input.drive ?? { passed: new Uint8Array(segments), fed: new Uint8Array(segments) };
    this.entering = new Float64Array(channels);
    this.carriedIn = Float64Array.from({ length: channels }, (_, channel) => heldSeeds(state, channel));
    const least = input.drive ? ROUNDING_FRACTION : NOTHING_HELD_FRACTION;
    this.nothingHeld = this.carriedIn.map((held, channel) => least * (held + cut.standingSeeds[channel]!));
    this.tank = new CompensatedSums(channels);
    this.destroyed = new CompensatedSums(channels);
    const room = () => new Float64Array(64 * channels);
    this.leaving = { chaff: room(), straw: room(), piece: room() };
    this.load = input.recordLoad === true && input.path.count > 0 ? emptyLoad(input.path.count, channels) : null;
    this.writeLoad(0);
  }

  pass(from: number, to: number): void {
    const { path, drive: given } = this.input;
    const { segment, drive } = this;
    for (let k = from; k < to; k++) {
      const cuts = this.gatherCut(k) || path.cutting[k] === 1;
      const durationS = path.timeS[k + 1]! - path.timeS[k]!;
      if (given) this.passAsGiven(k, durationS);
      else {
        const hasSeed = this.hasEntering();
        const passes = durationS > 0 && (cuts || path.running[k] === 1) && (hasSeed || !this.holdsNothing());
        if (passes) {
          segment.enter(k);
          drive.passed[k] = 1;
          drive.fed[k] = hasSeed ? 1 : 0;
          this.passSegment(hasSeed);
          this.clockS += durationS;
        }
      }
      this.writeLoad(k + 1);
    }
  }

  /** A batch without seed enters where the drive fed others, so that pieces of time are cut as there. */
  private passAsGiven(k: number, durationS: number): void {
    const { passed, fed } = this.drive;
    if (passed[k] === 0) return;
    if (this.hasEntering() || !this.holdsNothing()) {
      this.segment.enter(k);
      this.passSegment(fed[k] === 1);
    } else for (const { line } of this.streams) line.clear();
    this.clockS += durationS;
  }

  /** Writes down what is aboard and what was let go at a record. */
  private writeLoad(record: number): void {
    const { load, channels, entering } = this;
    if (load === null) return;
    const at = record * channels;
    for (const { id, store, line, share } of this.streams) {
      const held = load.heldSeeds[id];
      line.addHeld(held, at);
      for (let channel = 0; channel < channels; channel++) {
        held[at + channel]! += store[channel]! + entering[channel]! * share;
      }
    }
    load.landedSeeds.set(this.fall.onField.totals(), at);
    load.outsideSeeds.set(this.fall.outside.totals(), at);
    load.tankSeeds.set(this.tank.totals(), at);
    load.destroyedSeeds.set(this.destroyed.totals(), at);
    const kept = 1 - this.input.machine.headerLossFraction;
    for (let channel = 0; channel < channels; channel++) {
      const cut = record === 0 ? 0 : this.cut.bySegment[at - channels + channel]!;
      const before = record === 0 ? this.carriedIn[channel]! : load.takenInSeeds[at - channels + channel]!;
      load.takenInSeeds[at + channel] = before + cut * kept;
      load.headerLossSeeds[at + channel] =
        (record === 0 ? 0 : load.headerLossSeeds[at - channels + channel]!) + cut * (1 - kept);
    }
  }

  finish(): Movement {
    const { channels, cut } = this;
    // cut where no time passed any more: it is in the machine, at the start of each delay line
    if (this.hasEntering()) {
      for (const { line, share, delayS } of this.streams) {
        line.push(this.clockS + delayS, this.clockS + delayS, this.entering, share);
      }
    }
    const state = this.stateNow();
    const landed: Float64Array[] = [];
    const ledger: Ledger[] = [];
    const cellCount = this.landed.length / channels;
    for (let channel = 0; channel < channels; channel++) {
      const map = new Float64Array(cellCount);
      for (let cell = 0; cell < cellCount; cell++) map[cell] = this.landed[cell * channels + channel]!;
      landed.push(map);
      const lines: Ledger = {
        producedSeeds: 0,
        carriedInSeeds: this.carriedIn[channel]!,
        shedBeforeSeeds: 0,
        leftStandingSeeds: cut.leftStandingSeeds[channel]!,
        headerLossSeeds: cut.headerLossSeeds[channel]!,
        landedByMachineSeeds: this.fall.onField.totals()[channel]!,
        landedOutsideSeeds: this.fall.outside.totals()[channel]!,
        grainTankSeeds: this.tank.totals()[channel]!,
        destroyedSeeds: this.destroyed.totals()[channel]!,
        leftInMachineSeeds: heldSeeds(state, channel),
      };
      assertClosed({ ...lines, producedSeeds: cut.standingSeeds[channel]! });
      ledger.push(lines);
    }
    return {
      landed,
      ledger,
      state,
      standingSeeds: cut.standingSeeds,
      unknownCells: cut.unknownCells,
      load: this.load,
      drive: this.drive,
    };
  }

  /** Adds what segment k takes in to `entering`; true where it took any. */
  private gatherCut(k: number): boolean {
    const { channels, entering } = this;
    const kept = 1 - this.input.machine.headerLossFraction;
    let any = false;
    for (let channel = 0; channel < channels; channel++) {
      const seeds = this.cut.bySegment[k * channels + channel]!;
      if (seeds === 0) continue;
      entering[channel]! += seeds * kept;
      any = true;
    }
    return any;
  }

  private hasEntering(): boolean {
    return holdsAny(this.entering, 0, this.channels);
  }

  private holdsNothing(): boolean {
    const isGiven = this.input.drive !== undefined;
    if (!isGiven) for (const { line } of this.streams) if (line.size > 0) return false;
    for (let channel = 0; channel < this.channels; channel++) {
      let held = 0;
      for (const { store } of this.streams) held += store[channel]!;
      if (held > this.nothingHeld[channel]!) return false;
    }
    return !isGiven || !this.streams.some(({ line }) => line.holdsSeed());
  }

  private passSegment(hasSeed: boolean): void {
    const { clockS, entering, segment } = this;
    const { durationS, subSteps } = segment;
    const endS = clockS + durationS;
    let chaff: Float64Array | null = null;
    let straw: Float64Array | null = null;
    for (const stream of this.streams) {
      const { line, delayS, exit } = stream;
      if (hasSeed) line.push(clockS + delayS, endS + delayS, entering, stream.share);
      const pieces = line.take(clockS, endS);
      if (exit === 'tank') {
        stream.emptyIntoTank(clockS, pieces, this.tank);
      } else if (pieces === 1) {
        // the usual case: one rate throughout, so streams with the same exit fall together
        const out: Float64Array = (exit === 'chaff' ? chaff : straw) ?? this.roomFor(exit, subSteps);
        if (exit === 'chaff') chaff = out;
        else straw = out;
        stream.letOut(0, durationS, subSteps, out, this.destroyed);
      } else {
        let pieceStartS = clockS;
        for (let piece = 0; piece < pieces; piece++) {
          const lengthS = line.pieceEndS[piece]! - pieceStartS;
          const steps = segment.stepsOf(lengthS);
          const out = this.roomFor('piece', steps);
          stream.letOut(piece, lengthS, steps, out, this.destroyed);
          const after = (pieceStartS - clockS) / durationS;
          const by = exit === 'chaff' ? { chaff: out, straw: null } : { chaff: null, straw: out };
          this.fall.drop(by, segment, after, lengthS / durationS, steps);
          pieceStartS = line.pieceEndS[piece]!;
        }
      }
    }
    if (hasSeed) entering.fill(0);
    if (chaff || straw) this.fall.drop({ chaff, straw }, segment, 0, 1, subSteps);
  }

  /** Zeroed scratch for the seed of `steps` sub-steps. */
  private roomFor(what: 'chaff' | 'straw' | 'piece', steps: number): Float64Array {
    const length = steps * this.channels;
    if (this.leaving[what].length < length) this.leaving[what] = new Float64Array(2 * length);
    const room = this.leaving[what];
    // Mostly a handful of numbers: `fill` would cost more than the writing.
    for (let k = 0; k < length; k++) room[k] = 0;
    return room;
  }

  private stateNow(): MachineState {
    const streams = { ...this.input.state.streams } as Record<StreamId, StreamState>;
    for (const { id, line, store } of this.streams) streams[id] = line.stateAt(this.clockS, store);
    return { channels: this.channels, streams };
  }
}
