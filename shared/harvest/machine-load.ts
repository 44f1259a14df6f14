/**
 * What a combine holds at each record of its path, stream by stream, and what it had let go until then: the movement told
 * as it went, not only as it ended.
 */
import { STREAM_IDS, type StreamId } from './machine-streams.ts';

/** Every array: index = record × channels + channel, at the moment of the record; amounts let go are since the start. */
export interface MachineLoad {
  readonly channels: number;
  /** Seeds aboard, delay line and store together. */
  readonly heldSeeds: Readonly<Record<StreamId, Float64Array>>;
  /** Taken in past the cutter bar; what was aboard on arrival is in it from the first record on. */
  readonly takenInSeeds: Float64Array;
  readonly headerLossSeeds: Float64Array;
  readonly landedSeeds: Float64Array;
  readonly outsideSeeds: Float64Array;
  readonly tankSeeds: Float64Array;
  readonly destroyedSeeds: Float64Array;
}

export function emptyLoad(records: number, channels: number): MachineLoad {
  const room = () => new Float64Array(records * channels);
  return {
    channels,
    heldSeeds: Object.fromEntries(STREAM_IDS.map((id) => [id, room()])) as Record<StreamId, Float64Array>,
    takenInSeeds: room(),
    headerLossSeeds: room(),
    landedSeeds: room(),
    outsideSeeds: room(),
    tankSeeds: room(),
    destroyedSeeds: room(),
  };
}

/**
 * Relative residue of the law at one record: (taken in − held − landed − outside − tank − destroyed) / the channel's
 * greatest intake. 0 where the channel carried nothing.
 */
export function closeLoad(load: MachineLoad, record: number, channel: number): number {
  const at = record * load.channels + channel;
  const whole = load.takenInSeeds[load.takenInSeeds.length - load.channels + channel]!;
  const held = STREAM_IDS.reduce((sum, id) => sum + load.heldSeeds[id][at]!, 0);
  const gone = load.landedSeeds[at]! + load.outsideSeeds[at]! + load.tankSeeds[at]! + load.destroyedSeeds[at]!;
  return whole === 0 ? 0 : (load.takenInSeeds[at]! - held - gone) / whole;
}
