/** All bytes of one source, in one array; yields [bytes done, bytes in all] a chunk. */
import type { ByteSource } from '../model/records.ts';

export function* readWhole(source: ByteSource): Generator<readonly [number, number], Uint8Array, void> {
  const chunks: Uint8Array[] = [];
  let length = 0;
  for (const chunk of source.chunks()) {
    chunks.push(chunk);
    length += chunk.length;
    yield [length, source.size];
  }
  if (chunks.length === 1) return chunks[0]!;
  const whole = new Uint8Array(length);
  let at = 0;
  for (const chunk of chunks) {
    whole.set(chunk, at);
    at += chunk.length;
  }
  return whole;
}
