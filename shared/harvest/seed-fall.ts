/** Seed on its way from the exits of a moving machine to the ground: where each sub-step lets it fall, and what falls beyond the field. */
import type { DrivenSegment } from './driven-segment.ts';
import { CompensatedSums } from './ledger.ts';
import type { MovementInput } from './movement-input.ts';
import { SeedLanding } from './seed-landing.ts';

export class SeedFall {
  readonly onField: CompensatedSums;
  readonly outside: CompensatedSums;
  private readonly landing: SeedLanding;
  private readonly channels: number;

  /** @param landed seeds, index = cell × channels + channel; added to in place */
  constructor({ machine, cells, inField, standing }: MovementInput, landed: Float64Array) {
    this.channels = standing.length;
    this.landing = new SeedLanding(machine, cells, inField, landed, this.channels);
    this.onField = new CompensatedSums(this.channels);
    this.outside = new CompensatedSums(this.channels);
  }

  /** Lets the seed of `steps` sub-steps fall by either exit; they span the share from `after`, `span` long, of the segment. */
  drop(
    { chaff, straw }: { chaff: Float64Array | null; straw: Float64Array | null },
    segment: DrivenSegment,
    after: number,
    span: number,
    steps: number,
  ): void {
    const { channels } = this;
    for (let step = 0; step < steps; step++) {
      const at = step * channels;
      const byChaff = chaff !== null && holdsAny(chaff, at, channels);
      const byStraw = straw !== null && holdsAny(straw, at, channels);
      if (!byChaff && !byStraw) continue;
      segment.exitAt(after + ((step + 0.5) / steps) * span);
      const { xM, yM, eastPart, northPart } = segment;
      if (byChaff) this.landAt('chaff', xM, yM, eastPart, northPart, chaff, at);
      if (byStraw) this.landAt('straw', xM, yM, eastPart, northPart, straw, at);
    }
  }

  private landAt(
    exit: 'chaff' | 'straw',
    x: number,
    y: number,
    eastPart: number,
    northPart: number,
    out: Float64Array,
    at: number,
  ): void {
    const outsideFraction = this.landing.drop(exit, x, y, eastPart, northPart, out, at);
    for (let channel = 0; channel < this.channels; channel++) {
      const beyond = out[at + channel]! * outsideFraction;
      this.onField.add(channel, out[at + channel]! - beyond);
      if (beyond > 0) this.outside.add(channel, beyond);
    }
  }
}

/** @param at index of the first channel */
export function holdsAny(seeds: Float64Array, at: number, channels: number): boolean {
  for (let channel = 0; channel < channels; channel++) if (seeds[at + channel]! > 0) return true;
  return false;
}
