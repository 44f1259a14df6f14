/**
 * The header of a time log (TLGnnnnn.XML): which fields each record of its .BIN holds. An attribute that is there and empty is in
 * every record; one with a value is constant; one that is absent is not logged.
 * @source ISO 11783-10 time log schemas V3.3, V4.3 (element TIM with PTN and DLV)
 */
import { done, type Outcome, problem, refused } from '../model/problem.ts';
import { childrenOf, readXml, type XmlElement } from './xml.ts';

/** A value that records may hold; its place in the header is its number in the records. */
export interface LoggedValue {
  /** Data dictionary entry. */
  readonly ddi: number;
  /** Device element that it is of: "DET-1". */
  readonly element: string;
  /** Constant for the whole log; null where records hold it. */
  readonly constant: number | null;
}

export interface TimeLogHeader {
  readonly hasTime: boolean;
  readonly hasPosition: boolean;
  /** Bytes before the number of values. */
  readonly fixedBytes: number;
  /** Where latitude and longitude start in a record. */
  readonly northAt: number;
  readonly eastAt: number;
  readonly values: readonly LoggedValue[];
}

/** Attribute of PTN → bytes in a record, in the order of the record. */
const POSITION_BYTES = [
  ['A', 4],
  ['B', 4],
  ['C', 4],
  ['D', 1],
  ['E', 2],
  ['F', 2],
  ['G', 1],
  ['H', 4],
  ['I', 2],
] as const;
const TIME_BYTES = 6;

export function readTimeLogHeader(bytes: Uint8Array, file: string): Outcome<TimeLogHeader> {
  const read = readXml(bytes, file);
  if (!read.ok) return read;
  const tim = read.value;
  if (tim.localName !== 'TIM') {
    const text = `${file} is no header of a time log: it begins with <${tim.localName}>, not with <TIM>.`;
    return refused(problem('error', 'time-log-header', text, { where: { file } }));
  }
  const hasTime = isEmpty(tim, 'A');
  const starts: Partial<Record<string, number>> = {};
  let at = hasTime ? TIME_BYTES : 0;
  const [point] = childrenOf(tim, 'PTN');
  for (const [name, size] of POSITION_BYTES) {
    if (!point || !isEmpty(point, name)) continue;
    starts[name] = at;
    at += size;
  }
  const values = [...childrenOf(tim, 'DLV')].map((one): LoggedValue => {
    const given = one.getAttribute('B') ?? '';
    return {
      ddi: Number.parseInt(one.getAttribute('A') ?? '', 16),
      element: one.getAttribute('C') ?? '',
      constant: given === '' ? null : Number(given),
    };
  });
  return done({
    hasTime,
    hasPosition: starts['A'] !== undefined && starts['B'] !== undefined,
    fixedBytes: at,
    northAt: starts['A'] ?? 0,
    eastAt: starts['B'] ?? 0,
    values,
  });
}

/** Whether the attribute is there and empty: its value stands in every record. */
function isEmpty(element: XmlElement, name: string): boolean {
  return element.hasAttribute(name) && element.getAttribute(name) === '';
}
