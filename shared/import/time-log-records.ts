/**
 * The records of a time log (TLGnnnnn.BIN), little-endian and without padding: time, position, then the values that changed.
 * What is damaged is stepped over to the next record that makes sense; what was stepped over is counted with its place.
 * @source ISO 11783-10; decoded byte for byte from real logs, nothing left over (tests/reference/task-data)
 */
import type { ByteSource } from '../model/records.ts';
import type { TimeLogHeader } from './time-log-header.ts';

export interface TimeLogRecord {
  /** Milliseconds since midnight by the machine's clock. */
  clockMs: number;
  /** Days since 1980-01-01. */
  day: number;
  /** 1e-7 degrees. */
  north: number;
  east: number;
  /** Values that the record holds. */
  count: number;
  /** Place of each in the header. */
  readonly index: Uint8Array;
  readonly value: Int32Array;
}

export interface BrokenStretch {
  /** Number of the record in the log, from 1, before which bytes were stepped over. */
  readonly beforeRecord: number;
  readonly bytes: number;
}

export interface TimeLogEnd {
  readonly records: number;
  readonly broken: readonly BrokenStretch[];
  /** Bytes after the last whole record. */
  readonly leftBytes: number;
}

const MOST_VALUES = 255;
const VALUE_BYTES = 5;
/** A leap second is the most that a day's clock passes midnight by. */
const DAY_MS = 86_401_000;
const MOST_BROKEN = 1000;

/**
 * Reads records one after the other into the same object. Yields bytes done.
 * @param take called for each record
 * @cost O(bytes); memory O(one portion of the source)
 */
export function* readTimeLog(
  source: ByteSource,
  header: TimeLogHeader,
  take: (record: TimeLogRecord) => void,
): Generator<number, TimeLogEnd, void> {
  const record: TimeLogRecord = {
    clockMs: 0,
    day: 0,
    north: 0,
    east: 0,
    count: 0,
    index: new Uint8Array(MOST_VALUES),
    value: new Int32Array(MOST_VALUES),
  };
  const broken: BrokenStretch[] = [];
  const { fixedBytes } = header;
  let held = new Uint8Array(0);
  let records = 0;
  let skipped = 0;
  let bytesDone = 0;
  let lastDay = -1;

  /** Bytes that a whole record at `at` has; 0 where more bytes are needed; −1 where it makes no sense. */
  const sizeAt = (view: DataView, at: number, length: number): number => {
    if (at + fixedBytes + 1 > length) return 0;
    if (header.hasTime) {
      if (view.getUint32(at, true) > DAY_MS) return -1;
      // Behind damage only a record of about the same day is believed.
      if (skipped > 0 && lastDay >= 0 && Math.abs(view.getUint16(at + 4, true) - lastDay) > 1) return -1;
    }
    const count = view.getUint8(at + fixedBytes);
    const size = fixedBytes + 1 + count * VALUE_BYTES;
    const whole = Math.min(count, Math.floor((length - at - fixedBytes - 1) / VALUE_BYTES));
    for (let n = 0; n < whole; n++) {
      if (view.getUint8(at + fixedBytes + 1 + n * VALUE_BYTES) >= header.values.length) return -1;
    }
    return at + size > length ? 0 : size;
  };

  const parse = (bytes: Uint8Array, isLast: boolean): number => {
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    let at = 0;
    while (at < bytes.length) {
      const size = sizeAt(view, at, bytes.length);
      if (size === 0 && !(isLast && skipped > 0)) break;
      // Behind damage the record after it must make sense too.
      const isBelieved =
        size > 0 && (skipped === 0 || at + size === bytes.length || sizeAt(view, at + size, bytes.length) >= 0);
      if (!isBelieved) {
        skipped++;
        at++;
        continue;
      }
      if (skipped > 0) {
        if (broken.length < MOST_BROKEN) broken.push({ beforeRecord: records + 1, bytes: skipped });
        skipped = 0;
      }
      readAt(view, at, header, record);
      lastDay = record.day;
      records++;
      take(record);
      at += size;
    }
    return at;
  };

  for (const chunk of source.chunks()) {
    bytesDone += chunk.length;
    let bytes = chunk;
    if (held.length > 0) {
      bytes = new Uint8Array(held.length + chunk.length);
      bytes.set(held);
      bytes.set(chunk, held.length);
    }
    held = bytes.slice(parse(bytes, false));
    yield bytesDone;
  }
  const left = held.length - parse(held, true);
  return { records, broken, leftBytes: left + skipped };
}

function readAt(view: DataView, at: number, header: TimeLogHeader, record: TimeLogRecord): void {
  if (header.hasTime) {
    record.clockMs = view.getUint32(at, true);
    record.day = view.getUint16(at + 4, true);
  }
  if (header.hasPosition) {
    record.north = view.getInt32(at + header.northAt, true);
    record.east = view.getInt32(at + header.eastAt, true);
  }
  record.count = view.getUint8(at + header.fixedBytes);
  let from = at + header.fixedBytes + 1;
  for (let n = 0; n < record.count; n++, from += VALUE_BYTES) {
    record.index[n] = view.getUint8(from);
    record.value[n] = view.getInt32(from + 1, true);
  }
}
