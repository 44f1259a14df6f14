import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import type { Bundle, Importer, ReadFile, ReadingWishes } from '../../shared/import/importer.ts';
import type { Outcome } from '../../shared/model/problem.ts';
import type { BoundaryRecords, ByteSource } from '../../shared/model/records.ts';

/** Bytes or text as a host would give them, in chunks of 4096 so that borders between chunks are met. */
export function sourceOf(name: string, content: string | Uint8Array, chunkBytes = 4096): ByteSource {
  const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
  return {
    name,
    size: bytes.length,
    *chunks() {
      for (let at = 0; at < bytes.length; at += chunkBytes) yield bytes.subarray(at, at + chunkBytes);
    },
  };
}

export function bundleOf(name: string, content: string | Uint8Array): Bundle {
  return { name, parts: [sourceOf(name, content)] };
}

/** A bundle of files on disk; the first names it. */
export function bundleFromDisk(...paths: string[]): Bundle {
  return {
    name: basename(paths[0]!),
    parts: paths.map((path) => sourceOf(basename(path), readFileSync(path))),
  };
}

/** Drives a reader to its end; a reader that gives more turns than `turns` hangs. */
export function readAll(
  importer: Importer,
  bundle: Bundle,
  wishes: ReadingWishes = {},
  turns = 1e6,
): Outcome<ReadFile> {
  const reading = importer.read(bundle, wishes);
  for (let i = 0; i < turns; i++) {
    const step = reading.next();
    if (step.done) return step.value;
  }
  throw new Error(`${importer.id} did not end reading ${bundle.name} in ${turns} turns`);
}

/** The boundaries that were read; throws where the file was refused. */
export function boundariesIn(outcome: Outcome<ReadFile>): BoundaryRecords {
  if (!outcome.ok) throw new Error(`refused: ${outcome.problems.map((one) => one.text).join(' ')}`);
  const { records } = outcome.value;
  if (records.kind !== 'boundaries' && records.kind !== 'drawn patches') throw new Error(`read ${records.kind}`);
  return records;
}
