/** Bytes of a source in pieces of any length, whatever the portions that it comes in. */
import type { ByteSource } from '../model/records.ts';

export class PieceReader {
  bytesDone = 0;
  private readonly chunks: Iterator<Uint8Array>;
  private chunk: Uint8Array = new Uint8Array(0);
  private at = 0;

  /** @param from bytes at the start that are passed over */
  constructor(source: ByteSource, from = 0) {
    this.chunks = source.chunks()[Symbol.iterator]();
    this.skip(from);
  }

  /** The next `length` bytes, fewer at the end; valid until the next is asked for. */
  take(length: number): Uint8Array {
    if (this.at + length <= this.chunk.length) {
      const piece = this.chunk.subarray(this.at, this.at + length);
      this.at += length;
      this.bytesDone += length;
      return piece;
    }
    const piece = new Uint8Array(length);
    let filled = 0;
    while (filled < length) {
      if (this.at === this.chunk.length && !this.pull()) break;
      const part = this.chunk.subarray(this.at, this.at + length - filled);
      piece.set(part, filled);
      filled += part.length;
      this.at += part.length;
    }
    this.bytesDone += filled;
    return piece.subarray(0, filled);
  }

  private skip(bytes: number): void {
    let left = bytes;
    while (left > 0 && (this.at < this.chunk.length || this.pull())) {
      const step = Math.min(left, this.chunk.length - this.at);
      this.at += step;
      left -= step;
    }
    this.bytesDone += bytes - left;
  }

  private pull(): boolean {
    const next = this.chunks.next();
    if (next.done) return false;
    this.chunk = next.value;
    this.at = 0;
    return true;
  }
}
