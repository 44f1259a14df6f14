/**
 * The combine as seed sees it: four ways through the machine, each a pure delay and one well-mixed store, and what it
 * holds at a moment. A *channel* is one species: channels share everything but the number of seeds.
 */

import { sumSeeds } from './ledger.ts';

export const STREAM_IDS = ['grain', 'chaff', 'straw', 'lodged'] as const;
export type StreamId = (typeof STREAM_IDS)[number];

export interface Stream {
  readonly id: StreamId;
  /** Of the seed that passes the cutter bar into the machine; shares of all streams add to 1. */
  readonly share: number;
  readonly delayS: number;
  /** Of the well-mixed store; 0 = no store. */
  readonly timeConstantS: number;
  readonly exit: 'tank' | 'chaff' | 'straw';
  /** Passes the impact mill on its way out. */
  readonly milled: boolean;
}

export interface LateralKernel {
  readonly shape: 'uniform' | 'triangular' | 'line';
  /** Whole width; of a line, the width of each band. */
  readonly widthM: number;
  /** Of a line: where its bands lie, metres to the right of the machine's middle; default one in the middle. */
  readonly offsetsM?: readonly number[];
}

export interface MachineStreams {
  /** Share of the seed on the plant that falls at the cutter bar and stays where it stood. */
  readonly headerLossFraction: number;
  readonly streams: readonly Stream[];
  /** Share of what passes the mill that is destroyed; 0 without a mill. */
  readonly millKillFraction: number;
  readonly cutterBarToExitM: number;
  readonly kernels: Readonly<Record<'chaff' | 'straw', LateralKernel>>;
  /** Equal slices of a kernel's width; 18 unless a case wants another number. */
  readonly slices: number;
}

/** Seed on its way through one stream. */
export interface StreamState {
  /** Seeds in the store, per channel. */
  readonly storeSeeds: Float64Array;
  /** Delay line, earliest first: batch b enters the store evenly from `dueStartS[b]` to `dueEndS[b]`, seconds of running time from now. */
  readonly dueStartS: Float64Array;
  readonly dueEndS: Float64Array;
  /** Seeds of a batch, index = batch × channels + channel. */
  readonly lineSeeds: Float64Array;
}

/** All that a machine holds; plain typed arrays, never changed once made. */
export interface MachineState {
  readonly channels: number;
  readonly streams: Readonly<Record<StreamId, StreamState>>;
}

/** A clean machine. */
export function emptyMachine(channels: number): MachineState {
  if (!(Number.isInteger(channels) && channels > 0))
    throw new Error(`emptyMachine: expected channels, got ${channels}`);
  return { channels, streams: eachStream(() => emptyStream(channels)) };
}

/** Seeds of one channel in all delay lines and stores. */
export function heldSeeds(state: MachineState, channel: number): number {
  return sumSeeds(STREAM_IDS.map((id) => heldInStream(state, id, channel)));
}

/** Seeds of one channel in one stream's delay line and store. */
export function heldInStream(state: MachineState, id: StreamId, channel: number): number {
  if (!(channel >= 0 && channel < state.channels)) throw new Error(`heldInStream: no channel ${channel}`);
  const { storeSeeds, lineSeeds } = state.streams[id];
  const terms = [storeSeeds[channel]!];
  for (let k = channel; k < lineSeeds.length; k += state.channels) terms.push(lineSeeds[k]!);
  return sumSeeds(terms);
}

/**
 * What travels on once the separator has run empty at the gate: the lodged stream alone. What the other streams held
 * stays behind; the caller books it (`heldInStream` of the state before says how much went which way).
 */
export function lodgedOnly(state: MachineState): MachineState {
  return {
    channels: state.channels,
    streams: { ...eachStream(() => emptyStream(state.channels)), lodged: state.streams.lodged },
  };
}

/**
 * The machine after a clean-out that takes a share of everything held, all streams alike.
 * Removed = `heldSeeds` before − after.
 */
export function removeAtCleanOut(state: MachineState, removedFraction: number): MachineState {
  if (!(removedFraction >= 0 && removedFraction <= 1)) {
    throw new Error(`removeAtCleanOut: expected a share from 0 to 1, got ${removedFraction}`);
  }
  return scaleHeld(state, 1 - removedFraction);
}

/** The same machine with `factor` times the seed: movement is linear, so its results scale alike. */
export function scaleHeld(state: MachineState, factor: number): MachineState {
  if (!(factor >= 0 && factor < Infinity)) throw new Error(`scaleHeld: expected a factor from 0, got ${factor}`);
  return {
    channels: state.channels,
    streams: eachStream((id) => {
      const { storeSeeds, dueStartS, dueEndS, lineSeeds } = state.streams[id];
      return {
        storeSeeds: storeSeeds.map((seeds) => seeds * factor),
        dueStartS,
        dueEndS,
        lineSeeds: lineSeeds.map((seeds) => seeds * factor),
      };
    }),
  };
}

/** @throws where the description is no machine: shares that do not add to 1, a negative time, a width of 0. */
export function assertMachine(machine: MachineStreams): void {
  const refuse = (what: string): never => {
    throw new Error(`MachineStreams: ${what}`);
  };
  const isShare = (value: number) => value >= 0 && value <= 1;
  if (!isShare(machine.headerLossFraction)) refuse(`header loss ${machine.headerLossFraction} is no share`);
  if (!isShare(machine.millKillFraction)) refuse(`mill kill ${machine.millKillFraction} is no share`);
  if (!Number.isFinite(machine.cutterBarToExitM)) refuse(`cutter bar to exit ${machine.cutterBarToExitM} m`);
  if (!(Number.isInteger(machine.slices) && machine.slices > 0)) refuse(`${machine.slices} slices`);
  if (new Set(machine.streams.map(({ id }) => id)).size !== machine.streams.length) refuse('a stream stands twice');
  let total = 0;
  for (const { id, share, delayS, timeConstantS } of machine.streams) {
    if (!isShare(share)) refuse(`${id} takes ${share} of the seed`);
    if (!(delayS >= 0 && delayS < Infinity)) refuse(`${id} has a delay of ${delayS} s`);
    if (!(timeConstantS >= 0 && timeConstantS < Infinity)) refuse(`${id} has a time constant of ${timeConstantS} s`);
    total += share;
  }
  if (!(Math.abs(total - 1) <= 1e-9)) refuse(`the streams' shares add to ${total}, not to 1`);
  for (const [exit, kernel] of Object.entries(machine.kernels)) {
    if (!(kernel.widthM > 0 && kernel.widthM < Infinity)) refuse(`${exit} spreads over ${kernel.widthM} m`);
    if (kernel.offsetsM?.length === 0) refuse(`${exit} has a line of no bands`);
  }
}

function eachStream(make: (id: StreamId) => StreamState): Record<StreamId, StreamState> {
  return { grain: make('grain'), chaff: make('chaff'), straw: make('straw'), lodged: make('lodged') };
}

function emptyStream(channels: number): StreamState {
  return {
    storeSeeds: new Float64Array(channels),
    dueStartS: new Float64Array(0),
    dueEndS: new Float64Array(0),
    lineSeeds: new Float64Array(0),
  };
}
