import { DelayLine } from './delay-line.ts';
import type { CompensatedSums } from './ledger.ts';
import type { Stream, StreamId, StreamState } from './machine-streams.ts';
import { StoreStep } from './store-step.ts';

/** One stream at work: its delay line, its store, and the exact step of the store. */
export class RunningStream {
  readonly id: StreamId;
  readonly delayS: number;
  readonly exit: Stream['exit'];
  readonly line: DelayLine;
  /** Seeds in the store, one number a channel. */
  readonly store: Float64Array;
  private readonly step: StoreStep;
  private readonly killFraction: number;

  constructor(
    stream: Stream,
    readonly share: number,
    millKillFraction: number,
    before: StreamState,
  ) {
    this.id = stream.id;
    this.delayS = stream.delayS;
    this.exit = stream.exit;
    this.step = new StoreStep(stream.timeConstantS);
    this.killFraction = stream.milled ? millKillFraction : 0;
    this.store = before.storeSeeds.slice();
    this.line = new DelayLine(this.store.length, before);
  }

  /**
   * Steps the store through one piece of constant inflow and adds what leaves alive to `out` (step × channels +
   * channel); what the mill kills goes to `destroyed`.
   */
  letOut(piece: number, lengthS: number, steps: number, out: Float64Array, destroyed: CompensatedSums): void {
    this.step.set(lengthS / steps);
    const { store, killFraction } = this;
    const { leavingFraction, stayingFraction } = this.step;
    const channels = store.length;
    for (let channel = 0; channel < channels; channel++) {
      const arriving = this.line.pieceSeeds[piece * channels + channel]! / steps;
      let held = store[channel]!;
      if (held === 0 && arriving === 0) continue;
      let left = 0;
      for (let step = 0; step < steps; step++) {
        const leaving = held * leavingFraction + arriving * (1 - stayingFraction);
        held = held * (1 - leavingFraction) + arriving * stayingFraction;
        left += leaving;
        out[step * channels + channel]! += leaving * (1 - killFraction);
      }
      store[channel] = held;
      if (killFraction > 0) destroyed.add(channel, left * killFraction);
    }
  }

  /** The same for the tank, where nobody asks when within a piece: one step a piece, as exact. */
  emptyIntoTank(fromS: number, pieces: number, tank: CompensatedSums): void {
    const { store, line } = this;
    const channels = store.length;
    let startS = fromS;
    for (let piece = 0; piece < pieces; piece++) {
      this.step.set(line.pieceEndS[piece]! - startS);
      startS = line.pieceEndS[piece]!;
      const { leavingFraction, stayingFraction } = this.step;
      for (let channel = 0; channel < channels; channel++) {
        const arriving = line.pieceSeeds[piece * channels + channel]!;
        const held = store[channel]!;
        if (held === 0 && arriving === 0) continue;
        tank.add(channel, held * leavingFraction + arriving * (1 - stayingFraction));
        store[channel] = held * (1 - leavingFraction) + arriving * stayingFraction;
      }
    }
  }
}
