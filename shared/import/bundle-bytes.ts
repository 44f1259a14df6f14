/** The bytes of one source in one array, for formats that cannot be read as they stream. */
import type { ByteSource } from '../model/records.ts';

/**
 * Yields the first half of [bytes done, bytes in all] a chunk: taking the bytes apart is the second.
 * @param before bytes of the bundle's parts that were read already @param total bytes of all parts
 */
export function* readWhole(
  source: ByteSource,
  before = 0,
  total = source.size,
): Generator<readonly [number, number], Uint8Array, void> {
  const chunks: Uint8Array[] = [];
  let length = 0;
  for (const chunk of source.chunks()) {
    chunks.push(chunk);
    length += chunk.length;
    yield [(before + length) / 2, total];
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
