/**
 * Decimal numbers out of bytes, exactly rounded: up to 15 significant digits and 22 decimals a double holds both mantissa and power
 * of ten, so that one division rounds once; anything longer, and exponents, go to the language's own reader.
 */

/** Code of the decimal mark. */
export type Decimal = 46 | 44;

const POWERS = Array.from({ length: 23 }, (_, exponent) => Number(`1e${exponent}`));
const PLAIN = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;

/** The number that a cell holds, blanks around it allowed; NaN where it is empty or no plain decimal number. */
export function numberOf(cell: string, decimal: Decimal): number {
  let plain = cell.trim();
  if (decimal === 44) {
    if (plain.includes('.')) return NaN;
    plain = plain.replace(',', '.');
  }
  return PLAIN.test(plain) ? Number(plain) : NaN;
}

/** The same for the bytes [start, end) of ASCII-compatible text, without cutting them out. */
export function numberInBytes(bytes: Uint8Array, start: number, end: number, decimal: Decimal): number {
  while (start < end && bytes[start]! <= 32) start++;
  while (end > start && bytes[end - 1]! <= 32) end--;
  let at = start;
  let negative = false;
  if (at < end && (bytes[at] === 45 || bytes[at] === 43)) negative = bytes[at++] === 45;
  const first = at;
  let mantissa = 0;
  let point = -1;
  for (; at < end; at++) {
    const digit = bytes[at]! - 48;
    if (digit >= 0 && digit <= 9) mantissa = mantissa * 10 + digit;
    else if (bytes[at] === decimal && point < 0) point = at;
    else return numberOf(asciiText(bytes, start, end), decimal);
  }
  const digits = end - first - (point < 0 ? 0 : 1);
  if (digits > 15) return numberOf(asciiText(bytes, start, end), decimal);
  if (digits <= 0) return NaN;
  const value = point < 0 ? mantissa : mantissa / POWERS[end - 1 - point]!;
  return negative ? -value : value;
}

function asciiText(bytes: Uint8Array, start: number, end: number): string {
  let text = '';
  for (let at = start; at < end && at < start + 400; at++) text += String.fromCharCode(bytes[at]!);
  return text;
}

/** Whether a cell says "no value" in one of the usual ways: nothing, NA, null, a dash, a dot, a star. */
export function isMissing(cell: string): boolean {
  return cell === '' || /^(n\.?\/?a\.?|nan|null|none|#n\/a|-+|\.|\*)$/i.test(cell);
}
