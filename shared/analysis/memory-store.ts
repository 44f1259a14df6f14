import type { ResultStore } from './step.ts';

/** Results kept in memory alone: of a farm file, a page, a test. */
export function memoryStore(
  kept = new Map<string, Uint8Array>(),
): ResultStore & { readonly kept: Map<string, Uint8Array> } {
  return {
    kept,
    has: (key) => kept.has(key),
    read: (key) => kept.get(key) ?? null,
    write: (key, bytes) => void kept.set(key, bytes),
  };
}
