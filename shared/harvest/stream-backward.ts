import { DelayLine } from './delay-line.ts';
import type { Stream, StreamState } from './machine-streams.ts';
import { StoreStep } from './store-step.ts';

/**
 * One stream gone through backward: what a seed in it is worth, where a seed that falls in a certain place is worth the place's
 * weight there and one that falls elsewhere nothing. Forward first, to write down which part of which batch entered the store in
 * which piece of time; then backward from the end of the path, where a seed still aboard is worth nothing.
 */
export class StreamBackward {
  readonly exit: Stream['exit'];
  readonly share: number;
  readonly delayS: number;
  /** Worth of a seed in the store, as of the moment that was gone back to. */
  storeWorth = 0;
  /** Worth of a seed of each batch; those aboard on arrival come first. */
  readonly batchWorth: number[] = [];
  readonly aboardBatches: number;
  /** Pieces of each segment that was passed, and the parts that entered in each: starts of their rows, one longer. */
  private readonly pieceFrom: number[] = [0];
  private readonly pieceLengthS: number[] = [];
  private readonly partFrom: number[] = [0];
  private readonly partBatch: number[] = [];
  private readonly partFraction: number[] = [];
  private readonly line: DelayLine;
  private readonly step: StoreStep;
  private readonly livingFraction: number;
  private head = 0;
  private leftFraction = 1;

  constructor(stream: Stream, share: number, millKillFraction: number, before: StreamState) {
    this.exit = stream.exit;
    this.share = share;
    this.delayS = stream.delayS;
    this.livingFraction = 1 - (stream.milled ? millKillFraction : 0);
    this.step = new StoreStep(stream.timeConstantS);
    this.aboardBatches = before.dueStartS.length;
    this.line = new DelayLine(1, { ...before, storeSeeds: NONE, lineSeeds: new Float64Array(this.aboardBatches) });
    for (let batch = 0; batch < this.aboardBatches; batch++) this.batchWorth.push(0);
  }

  /** Passes a segment forward. @param feeds whether seed enters; its batch is the next number */
  pass(fromS: number, untilS: number, feeds: boolean): void {
    const { line, delayS, partBatch, partFraction } = this;
    if (feeds) {
      line.push(fromS + delayS, untilS + delayS, NONE, 0);
      this.batchWorth.push(0);
    }
    const parts: [piece: number, batch: number, fraction: number][] = [];
    const pieces = line.take(fromS, untilS, (piece, part) => {
      const fraction = part === 1 ? this.leftFraction : this.leftFraction * part;
      parts.push([piece, this.head, fraction]);
      this.leftFraction -= fraction;
      if (part !== 1) return;
      this.head++;
      this.leftFraction = 1;
    });
    let startS = fromS;
    for (let piece = 0, next = 0; piece < pieces; piece++) {
      this.pieceLengthS.push(line.pieceEndS[piece]! - startS);
      startS = line.pieceEndS[piece]!;
      for (; next < parts.length && parts[next]![0] === piece; next++) {
        partBatch.push(parts[next]![1]);
        partFraction.push(parts[next]![2]);
      }
      this.partFrom.push(partBatch.length);
    }
    this.pieceFrom.push(this.pieceLengthS.length);
  }

  /** Rows of the pieces of the n-th segment that was passed: the first, and the one after the last. */
  piecesOf(passed: number): readonly [from: number, to: number] {
    return [this.pieceFrom[passed]!, this.pieceFrom[passed + 1]!];
  }

  lengthS(piece: number): number {
    return this.pieceLengthS[piece]!;
  }

  /** Goes back through a piece. @param under what a seed that leaves in each of its sub-steps is worth, the exit's place alone */
  goBack(piece: number, under: ArrayLike<number>, steps: number): void {
    const { step, livingFraction, partFrom } = this;
    step.set(this.pieceLengthS[piece]! / steps);
    const { leavingFraction, stayingFraction } = step;
    let store = this.storeWorth;
    let arriving = 0;
    for (let k = steps - 1; k >= 0; k--) {
      const leaving = under[k]! * livingFraction;
      arriving += leaving * (1 - stayingFraction) + store * stayingFraction;
      store = leaving * leavingFraction + store * (1 - leavingFraction);
    }
    this.storeWorth = store;
    for (let part = partFrom[piece]!; part < partFrom[piece + 1]!; part++) {
      this.batchWorth[this.partBatch[part]!]! += (this.partFraction[part]! * arriving) / steps;
    }
  }
}

/** Lines and stores without seed: only their times count. */
const NONE = new Float64Array(1);
