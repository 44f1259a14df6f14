import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';

/** SHA-256 as 64 lower-case hex digits. */
export function digestOf(bytes: Uint8Array): string {
  return bytesToHex(sha256(bytes));
}

/** SHA-256 of bytes that come in pieces. */
export function digestOfChunks(chunks: Iterable<Uint8Array>): string {
  const hash = sha256.create();
  for (const chunk of chunks) hash.update(chunk);
  return bytesToHex(hash.digest());
}

/** The same in turns: yields the bytes done after each piece. */
export function* digesting(chunks: Iterable<Uint8Array>): Generator<number, string, void> {
  const hash = sha256.create();
  let done = 0;
  for (const chunk of chunks) {
    hash.update(chunk);
    done += chunk.length;
    yield done;
  }
  return bytesToHex(hash.digest());
}

/** JSON with sorted keys and without spaces: equal data, equal text. @throws on numbers that JSON cannot hold. */
export function canonicalJson(value: unknown): string {
  if (typeof value === 'number' && !Number.isFinite(value)) throw new Error(`canonicalJson: ${value} has no JSON form`);
  if (Array.isArray(value))
    return `[${value.map((one) => (one === undefined ? 'null' : canonicalJson(one))).join(',')}]`;
  if (typeof value === 'object' && value !== null) {
    const record = value as Record<string, unknown>;
    const parts = Object.keys(record)
      .filter((key) => record[key] !== undefined)
      .sort()
      .map((key) => `${JSON.stringify(key)}:${canonicalJson(record[key])}`);
    return `{${parts.join(',')}}`;
  }
  return JSON.stringify(value) ?? 'null';
}

export function digestOfJson(value: unknown): string {
  return digestOf(new TextEncoder().encode(canonicalJson(value)));
}
