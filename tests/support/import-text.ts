import type { Bundle, Importer, ReadFile, ReadingWishes } from '../../shared/import/importer.ts';
import type { Outcome, Problem } from '../../shared/model/problem.ts';

/** Bytes as a one-part bundle that hands them out in portions of `portion`. */
export function bundleOf(name: string, bytes: Uint8Array, portion = 1 << 16): Bundle {
  function* chunks() {
    for (let at = 0; at < bytes.length; at += portion) yield bytes.subarray(at, at + portion);
  }
  return { name, parts: [{ name, size: bytes.length, chunks }] };
}

export function drive<T>(generator: Generator<unknown, T, void>): T {
  let step = generator.next();
  while (!step.done) step = generator.next();
  return step.value;
}

/** Reads a text (or bytes) as if it were a file. */
export function readText(
  importer: Importer,
  text: string | Uint8Array,
  wishes: ReadingWishes = {},
  name = 'log.csv',
): Outcome<ReadFile> {
  const bytes = typeof text === 'string' ? new TextEncoder().encode(text) : text;
  return drive(importer.read(bundleOf(name, bytes), wishes));
}

export function certainty(importer: Importer, text: string, name = 'table.csv'): number {
  const bytes = new TextEncoder().encode(text);
  return importer.recognize(bundleOf(name, bytes), bytes);
}

export function codes(outcome: { problems: readonly Problem[] }): string[] {
  return outcome.problems.map((one) => one.code);
}

/** The records, or a failed expectation that shows the problems. */
export function recordsOf<K extends ReadFile['records']['kind']>(
  outcome: Outcome<ReadFile>,
  kind: K,
): Extract<ReadFile['records'], { kind: K }> {
  if (!outcome.ok) throw new Error(`refused: ${outcome.problems.map((one) => one.text).join(' ')}`);
  const { records } = outcome.value;
  if (records.kind !== kind) throw new Error(`expected ${kind}, got ${records.kind}`);
  return records as Extract<ReadFile['records'], { kind: K }>;
}

export function told(outcome: { problems: readonly Problem[] }, code: string): Problem {
  const found = outcome.problems.find((one) => one.code === code);
  if (!found) throw new Error(`no problem "${code}" among ${codes(outcome).join(', ') || 'none'}`);
  return found;
}
