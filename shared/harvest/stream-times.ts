import { DelayLine } from './delay-line.ts';
import type { Stream, StreamState } from './machine-streams.ts';
import { StoreStep } from './store-step.ts';

/**
 * When what one stream took in comes to its store: the pieces of time that each segment falls into, and which part of which batch
 * arrives in which. It hangs on the machine and its drive alone, not on seed or place: written down once, gone back through often.
 */
export class StreamTimes {
  readonly aboardBatches: number;
  batches: number;
  /** Rows of the pieces of the n-th segment that was passed begin at [n] and end at [n + 1]. */
  readonly pieceFrom: number[] = [0];
  readonly pieceLengthS: number[] = [];
  /** Rows of the parts that arrive in a piece, likewise. */
  readonly partFrom: number[] = [0];
  readonly partBatch: number[] = [];
  readonly partFraction: number[] = [];
  private head = 0;
  private leftFraction = 1;
  /** Pieces of the segment under way whose parts are all known. */
  private closed = 0;

  /** @param livingFraction of what leaves, past the mill */
  constructor(
    readonly stream: Stream,
    readonly share: number,
    readonly livingFraction: number,
    { dueStartS }: StreamState,
  ) {
    this.batches = this.aboardBatches = dueStartS.length;
  }

  /** What the delay line tells while a segment is taken out of it. */
  readonly note = (piece: number, part: number): void => {
    this.closeUpTo(piece);
    const fraction = part === 1 ? this.leftFraction : this.leftFraction * part;
    this.partBatch.push(this.head);
    this.partFraction.push(fraction);
    this.leftFraction -= fraction;
    if (part !== 1) return;
    this.head++;
    this.leftFraction = 1;
  };

  /** The segment is over: how its pieces end. */
  close(fromS: number, endS: ArrayLike<number>, pieces: number): void {
    this.closeUpTo(pieces);
    this.closed = 0;
    for (let piece = 0; piece < pieces; piece++) {
      this.pieceLengthS.push(endS[piece]! - (piece === 0 ? fromS : endS[piece - 1]!));
    }
    this.pieceFrom.push(this.pieceLengthS.length);
  }

  private closeUpTo(pieces: number): void {
    for (; this.closed < pieces; this.closed++) this.partFrom.push(this.partBatch.length);
  }
}

/** A stream on its way through the segments, as far as the drive hangs on it: what leaves it falls nowhere. */
export class PassingStream {
  readonly line: DelayLine;
  /** Seeds in the store, one number a channel. */
  readonly store: Float64Array;
  private readonly step: StoreStep;

  /** @param times written down as it passes; null where nobody asks for them */
  constructor(
    private readonly stream: Stream,
    readonly share: number,
    before: StreamState,
    private readonly times: StreamTimes | null,
  ) {
    this.store = before.storeSeeds.slice();
    this.line = new DelayLine(this.store.length, before);
    this.step = new StoreStep(stream.timeConstantS);
  }

  /** @param entering one number a channel; null where nothing enters */
  pass(fromS: number, untilS: number, entering: Float64Array | null): void {
    const { line, times, store, step } = this;
    const { delayS } = this.stream;
    if (entering) {
      line.push(fromS + delayS, untilS + delayS, entering, this.share);
      if (times) times.batches++;
    }
    const pieces = line.take(fromS, untilS, times?.note);
    times?.close(fromS, line.pieceEndS, pieces);
    let startS = fromS;
    for (let piece = 0; piece < pieces; piece++) {
      step.set(line.pieceEndS[piece]! - startS);
      startS = line.pieceEndS[piece]!;
      const kept = 1 - step.leavingFraction;
      for (let channel = 0; channel < store.length; channel++) {
        const arriving = line.pieceSeeds[piece * store.length + channel]!;
        store[channel] = store[channel]! * kept + arriving * step.stayingFraction;
      }
    }
  }
}
