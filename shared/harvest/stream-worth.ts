import { StoreStep } from './store-step.ts';
import type { StreamTimes } from './stream-times.ts';

/**
 * One stream gone back through: what a seed in it is worth, where a seed that falls in a certain place is worth the place's weight
 * there and one that falls elsewhere nothing. From the end of the path, where a seed still aboard is worth nothing.
 */
export class StreamWorth {
  /** Of a seed in the store, as of the moment that was gone back to. */
  store = 0;
  /** Of a seed of each batch; those aboard on arrival come first. */
  readonly batch: Float64Array;
  private readonly step: StoreStep;

  constructor(readonly times: StreamTimes) {
    this.batch = new Float64Array(times.batches);
    this.step = new StoreStep(times.stream.timeConstantS);
  }

  /** Goes back through a piece. @param under what a seed that leaves in each of its sub-steps is worth, the exit's place alone */
  goBack(piece: number, under: ArrayLike<number>, steps: number): void {
    const { step, times } = this;
    const { livingFraction } = times;
    step.set(times.pieceLengthS[piece]! / steps);
    const { leavingFraction, stayingFraction } = step;
    let store = this.store;
    let arriving = 0;
    for (let k = steps - 1; k >= 0; k--) {
      const leaving = under[k]! * livingFraction;
      arriving += leaving * (1 - stayingFraction) + store * stayingFraction;
      store = leaving * leavingFraction + store * (1 - leavingFraction);
    }
    this.store = store;
    const { partFrom, partBatch, partFraction } = times;
    const end = partFrom[piece + 1]!;
    for (let part = partFrom[piece]!; part < end; part++) {
      this.batch[partBatch[part]!]! += (partFraction[part]! * arriving) / steps;
    }
  }

  /**
   * Goes back through the n-th segment that was passed, far from the place: nothing that leaves there is worth anything, and a store
   * that empties evenly does so in one step as in many.
   */
  goBackFar(passed: number): void {
    if (this.store === 0) return;
    const { pieceFrom } = this.times;
    for (let piece = pieceFrom[passed + 1]! - 1; piece >= pieceFrom[passed]!; piece--) this.goBack(piece, NOWHERE, 1);
  }
}

const NOWHERE = new Float64Array(1);
