/**
 * A text file as blocks of whole lines, about a megabyte each: bytes in any portions → text, never cut inside a quoted cell. At
 * most one block and one portion are held, so that a file of any length streams.
 */
import { problem } from '../model/problem.ts';
import type { Problem } from '../model/problem.ts';
import type { ByteSource } from '../model/records.ts';

export type Encoding = 'utf-8' | 'utf-16le' | 'utf-16be';

export interface Lines {
  readonly encoding: Encoding;
  /** 10, or 13 for a file that knows only carriage returns. */
  readonly lineEnd: number;
  readonly delimiter: string;
  /** Lines above this one are left out. */
  readonly firstLine: number;
}

/** Whole lines; `bytes` are valid until the next block is asked for. */
export interface TextBlock {
  readonly bytes: Uint8Array;
  readonly text: string;
  /** Offsets in `text` are those in `bytes`. */
  readonly aligned: boolean;
  /** Line of the file at which the text starts, from 1. */
  readonly firstLine: number;
  readonly bytesDone: number;
  /** A problem met while reading this block. */
  readonly problem: Problem | null;
}

const BLOCK = 1 << 20;
/** A quoted cell or a line longer than this is no table's. */
const LONGEST = 1 << 24;
const QUOTE = 34;

/** The file's bytes as UTF-8, whatever it was in. */
export function* utf8Chunks(source: ByteSource, encoding: Encoding): Generator<Uint8Array, void, void> {
  if (encoding === 'utf-8') {
    yield* source.chunks();
    return;
  }
  const decoder = new TextDecoder(encoding);
  const encoder = new TextEncoder();
  for (const chunk of source.chunks()) yield encoder.encode(decoder.decode(chunk, { stream: true }));
  yield encoder.encode(decoder.decode());
}

/** Where the last whole line ends: one past the last line end that is outside quotes, or 0. */
function lastLineEnd(bytes: Uint8Array, length: number, { lineEnd, delimiter }: Lines): number {
  const view = bytes.subarray(0, length);
  if (view.indexOf(QUOTE) < 0) return view.lastIndexOf(lineEnd) + 1;
  const separator = delimiter.charCodeAt(0);
  let cut = 0;
  let quoted = false;
  let cellStart = true;
  for (let i = 0; i < length; i++) {
    const byte = view[i]!;
    if (quoted) {
      if (byte !== QUOTE) continue;
      if (view[i + 1] === QUOTE && i + 1 < length) i++;
      else quoted = false;
    } else if (byte === QUOTE && cellStart) {
      quoted = true;
      cellStart = false;
    } else if (byte === lineEnd) {
      cut = i + 1;
      cellStart = true;
    } else cellStart = byte === separator;
  }
  return cut;
}

function countLineEnds(bytes: Uint8Array, lineEnd: number): number {
  let count = 0;
  for (let at = bytes.indexOf(lineEnd); at >= 0; at = bytes.indexOf(lineEnd, at + 1)) count++;
  return count;
}

/** Blocks of whole lines. @cost O(bytes); memory O(one block + one portion of the source) */
export function* textBlocks(source: ByteSource, lines: Lines): Generator<TextBlock, void, void> {
  const strict = new TextDecoder('utf-8', { fatal: true });
  const western = new TextDecoder('windows-1252');
  let isUtf8 = true;
  let held = new Uint8Array(BLOCK);
  let length = 0;
  let firstLine = 1;
  let bytesDone = 0;

  const block = (end: number): TextBlock => {
    let start = 0;
    while (firstLine < lines.firstLine && start < end) {
      const next = held.subarray(0, end).indexOf(lines.lineEnd, start);
      start = next < 0 ? end : next + 1;
      firstLine++;
    }
    const bytes = held.subarray(start, end);
    let told: Problem | null = null;
    let text: string | null = null;
    if (isUtf8) {
      try {
        text = strict.decode(bytes);
      } catch {
        isUtf8 = false;
        told = problem(
          'note',
          'not-utf8',
          `The file is not UTF-8; it is read as Latin-1 (Windows-1252) from line ${firstLine} on.`,
          { where: { file: source.name, row: firstLine }, hint: 'Check names with accents.' },
        );
      }
    }
    text ??= western.decode(bytes);
    return { bytes, text, aligned: text.length === bytes.length, firstLine, bytesDone, problem: told };
  };
  const drop = (block: TextBlock, end: number) => {
    firstLine += countLineEnds(block.bytes, lines.lineEnd);
    held.copyWithin(0, end, length);
    length -= end;
  };

  for (const chunk of utf8Chunks(source, lines.encoding)) {
    for (let from = 0; from < chunk.length;) {
      const take = Math.min(held.length - length, chunk.length - from);
      held.set(chunk.subarray(from, from + take), length);
      length += take;
      from += take;
      bytesDone += take;
      if (length < held.length) continue;
      const cut = lastLineEnd(held, length, lines);
      if (cut > 0) {
        const whole = block(cut);
        yield whole;
        drop(whole, cut);
      } else if (held.length < LONGEST) {
        const wider = new Uint8Array(held.length * 2);
        wider.set(held);
        held = wider;
      } else {
        yield {
          bytes: new Uint8Array(0),
          text: '',
          aligned: true,
          firstLine,
          bytesDone,
          problem: problem(
            'error',
            'line-without-end',
            `The line or quoted cell that starts at line ${firstLine} does not end within 16 MB; reading stopped there.`,
            {
              where: { file: source.name, row: firstLine },
              hint: 'Look for a quotation mark that is never closed.',
            },
          ),
        };
        return;
      }
    }
  }
  if (length > 0) yield block(length);
}
