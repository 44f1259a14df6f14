import { DelayLine } from './delay-line.ts';
import type { CompensatedSums } from './ledger.ts';
import type { Stream, StreamId, StreamState } from './machine-streams.ts';

/** One stream at work: its delay line, its store, and the exact step of the store. */
export class RunningStream {
  readonly id: StreamId;
  readonly delayS: number;
  readonly exit: Stream['exit'];
  readonly line: DelayLine;
  /** Seeds in the store, one number a channel. */
  readonly store: Float64Array;
  private readonly timeConstantS: number;
  private readonly killFraction: number;
  private stepS = NaN;
  /** g = 1 − e^(−h/τ): share of the store that leaves in a step. */
  private leavingFraction = 1;
  /** τ g / h: share of what arrives in a step that is still there at its end. */
  private stayingFraction = 0;

  constructor(
    stream: Stream,
    readonly share: number,
    millKillFraction: number,
    before: StreamState,
  ) {
    this.id = stream.id;
    this.delayS = stream.delayS;
    this.exit = stream.exit;
    this.timeConstantS = stream.timeConstantS;
    this.killFraction = stream.milled ? millKillFraction : 0;
    this.store = before.storeSeeds.slice();
    this.line = new DelayLine(this.store.length, before);
  }

  /**
   * Steps the store through one piece of constant inflow and adds what leaves alive to `out` (step × channels +
   * channel); what the mill kills goes to `destroyed`.
   */
  letOut(piece: number, lengthS: number, steps: number, out: Float64Array, destroyed: CompensatedSums): void {
    this.setStep(lengthS / steps);
    const { store, killFraction, leavingFraction, stayingFraction } = this;
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
      this.setStep(line.pieceEndS[piece]! - startS);
      startS = line.pieceEndS[piece]!;
      const { leavingFraction, stayingFraction } = this;
      for (let channel = 0; channel < channels; channel++) {
        const arriving = line.pieceSeeds[piece * channels + channel]!;
        const held = store[channel]!;
        if (held === 0 && arriving === 0) continue;
        tank.add(channel, held * leavingFraction + arriving * (1 - stayingFraction));
        store[channel] = held * (1 - leavingFraction) + arriving * stayingFraction;
      }
    }
  }

  /**
   * Exact solution of dM/dt = i − M/τ over h with constant inflow i: out = M g + i (h − τ g), M ← M (1 − g) + i τ g.
   * Without a store (τ = 0) all leaves at once.
   * @source methods-season §4.2
   */
  private setStep(stepS: number): void {
    if (this.timeConstantS === 0 || this.stepS === stepS) return;
    this.stepS = stepS;
    this.leavingFraction = -Math.expm1(-stepS / this.timeConstantS);
    this.stayingFraction = (this.timeConstantS * this.leavingFraction) / stepS;
  }
}
