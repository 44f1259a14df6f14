/** What a person writes for a count: a number, "more than 20", "present", "none". */
import { isMissing, numberOf } from './number-text.ts';
import type { Decimal } from './number-text.ts';

export type Counted = number | { readonly present: boolean } | { readonly atLeast: number };

const PRESENT = /^(present|p|yes|y|x|\+|true|seen|found)$/i;
const ABSENT = /^(absent|a|no|none|false|not seen|not found|nil)$/i;
const AT_LEAST = [
  /^(?:>=?|≥|over|above|more than|at least)\s*([\d.,]+)$/i,
  /^([\d.,]+)\s*(?:\+|or more|and more|plus)$/i,
];

/**
 * The count in a cell; null where it is empty, a text where it cannot be read. "More than 20" is { atLeast: 20 }, the weaker and
 * surely true statement (methods-spatial §3: P(c ≥ 20)).
 */
export function countOf(text: string, decimal: Decimal): Counted | null | 'unreadable' {
  if (ABSENT.test(text)) return { present: false };
  if (isMissing(text)) return null;
  const value = numberOf(text, decimal);
  if (!Number.isNaN(value)) return value;
  for (const form of AT_LEAST) {
    const match = form.exec(text);
    const limit = match ? numberOf(match[1]!, decimal) : NaN;
    if (!Number.isNaN(limit)) return { atLeast: limit };
  }
  return PRESENT.test(text) ? { present: true } : 'unreadable';
}

/** The same in a column of presence, where 1 and 0 mean yes and no. */
export function presenceOf(text: string, decimal: Decimal): { readonly present: boolean } | null | 'unreadable' {
  const read = countOf(text, decimal);
  if (read === null || read === 'unreadable') return text === '-' ? { present: false } : read;
  if (typeof read === 'number') return { present: read > 0 };
  return 'present' in read ? read : { present: true };
}
