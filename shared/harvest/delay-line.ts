import type { StreamState } from './machine-streams.ts';

/**
 * Moments closer than this are one moment: times of a log are sums of floating point, and a piece of 1e-13 s would cost
 * as much as one of a second. A microsecond is 2 µm of travel; the seed of a swallowed sliver goes to its neighbour, so
 * none is lost.
 */
const ONE_MOMENT_S = 1e-6;

/** Hears, in their order, what `take` takes: a part of what is left of the batch at the head, 1 all of it, in a piece. */
export type NotePart = (piece: number, part: number) => void;

/**
 * Seed on its way to one store: batches in the order of their coming, each arriving evenly between two moments of the
 * machine's clock. A ring of flat arrays; reading moves on and never searches.
 */
export class DelayLine {
  private startS: Float64Array<ArrayBuffer>;
  private endS: Float64Array<ArrayBuffer>;
  private seeds: Float64Array<ArrayBuffer>;
  private head = 0;
  private mask: number;
  size = 0;
  /** After `take`: the pieces' ends and their seeds (piece × channels + channel); the first begins where `take` began. */
  pieceEndS = new Float64Array(8);
  pieceSeeds: Float64Array<ArrayBuffer>;

  constructor(
    private readonly channels: number,
    before: StreamState,
  ) {
    let capacity = 64;
    while (capacity < before.dueStartS.length + 1) capacity *= 2;
    this.mask = capacity - 1;
    this.startS = new Float64Array(capacity);
    this.endS = new Float64Array(capacity);
    this.seeds = new Float64Array(capacity * channels);
    this.pieceSeeds = new Float64Array(8 * channels);
    this.startS.set(before.dueStartS);
    this.endS.set(before.dueEndS);
    this.seeds.set(before.lineSeeds);
    this.size = before.dueStartS.length;
  }

  /** Appends a batch: `share` of `entering` (one number a channel) arrives evenly from `startS` to `endS`. */
  push(startS: number, endS: number, entering: Float64Array, share: number): void {
    if (this.size > this.mask) this.grow();
    const at = (this.head + this.size++) & this.mask;
    this.startS[at] = startS;
    this.endS[at] = endS;
    const base = at * this.channels;
    for (let channel = 0; channel < this.channels; channel++) this.seeds[base + channel] = entering[channel]! * share;
  }

  /**
   * Takes out what arrives between two moments, in pieces of constant rate.
   * @param note told of each part, so that the way can be gone backward; a part of 1 was the last of its batch
   * @returns how many pieces; they lie in `pieceEndS` and `pieceSeeds` until the next call
   * @cost amortised O(batches taken)
   */
  take(fromS: number, untilS: number, note?: NotePart): number {
    const { channels } = this;
    let piece = 0;
    let nowS = fromS;
    this.clearPiece(0);
    for (;;) {
      if (this.size === 0 || this.startS[this.head]! >= untilS - ONE_MOMENT_S) break;
      const startS = this.startS[this.head]!;
      if (startS > nowS + ONE_MOMENT_S) {
        this.pieceEndS[piece] = nowS = startS;
        this.clearPiece(++piece);
        continue;
      }
      const endS = this.endS[this.head]!;
      const from = this.head * channels;
      const into = piece * channels;
      if (endS > untilS + ONE_MOMENT_S) {
        const part = (untilS - nowS) / (endS - nowS);
        for (let channel = 0; channel < channels; channel++) {
          const seeds = this.seeds[from + channel]! * part;
          this.pieceSeeds[into + channel]! += seeds;
          this.seeds[from + channel]! -= seeds;
        }
        this.startS[this.head] = untilS;
        note?.(piece, part);
        break;
      }
      for (let channel = 0; channel < channels; channel++) {
        this.pieceSeeds[into + channel]! += this.seeds[from + channel]!;
      }
      this.head = (this.head + 1) & this.mask;
      this.size--;
      note?.(piece, 1);
      if (endS >= untilS - ONE_MOMENT_S) break;
      if (endS > nowS + ONE_MOMENT_S) {
        this.pieceEndS[piece] = nowS = endS;
        this.clearPiece(++piece);
      }
    }
    this.pieceEndS[piece] = untilS;
    return piece + 1;
  }

  /** Adds the seed still on its way to `out`, one number a channel from index `at`. @cost O(batches on their way) */
  addHeld(out: Float64Array, at: number): void {
    const { channels } = this;
    for (let batch = 0; batch < this.size; batch++) {
      const from = ((this.head + batch) & this.mask) * channels;
      for (let channel = 0; channel < channels; channel++) out[at + channel]! += this.seeds[from + channel]!;
    }
  }

  /** @cost O(batches on their way) */
  holdsSeed(): boolean {
    const { channels } = this;
    for (let batch = 0; batch < this.size; batch++) {
      const from = ((this.head + batch) & this.mask) * channels;
      for (let channel = 0; channel < channels; channel++) if (this.seeds[from + channel]! > 0) return true;
    }
    return false;
  }

  /** Forgets all batches: of those without seed nothing is lost. */
  clear(): void {
    this.size = 0;
  }

  /** What is still on its way, as seen from `nowS`. */
  stateAt(nowS: number, storeSeeds: Float64Array): StreamState {
    const { channels, size } = this;
    const dueStartS = new Float64Array(size);
    const dueEndS = new Float64Array(size);
    const lineSeeds = new Float64Array(size * channels);
    for (let batch = 0; batch < size; batch++) {
      const at = (this.head + batch) & this.mask;
      dueStartS[batch] = this.startS[at]! - nowS;
      dueEndS[batch] = this.endS[at]! - nowS;
      for (let channel = 0; channel < channels; channel++) {
        lineSeeds[batch * channels + channel] = this.seeds[at * channels + channel]!;
      }
    }
    return { storeSeeds: storeSeeds.slice(), dueStartS, dueEndS, lineSeeds };
  }

  private clearPiece(piece: number): void {
    if (piece >= this.pieceEndS.length) {
      this.pieceEndS = lengthened(this.pieceEndS);
      this.pieceSeeds = lengthened(this.pieceSeeds);
    }
    const base = piece * this.channels;
    for (let channel = 0; channel < this.channels; channel++) this.pieceSeeds[base + channel] = 0;
  }

  private grow(): void {
    const { channels } = this;
    const turn = (old: Float64Array, each: number) => {
      const longer = new Float64Array(old.length * 2);
      longer.set(old.subarray(this.head * each));
      longer.set(old.subarray(0, this.head * each), old.length - this.head * each);
      return longer;
    };
    this.startS = turn(this.startS, 1);
    this.endS = turn(this.endS, 1);
    this.seeds = turn(this.seeds, channels);
    this.head = 0;
    this.mask = this.mask * 2 + 1;
  }
}

function lengthened(old: Float64Array): Float64Array<ArrayBuffer> {
  const longer = new Float64Array(old.length * 2);
  longer.set(old);
  return longer;
}
