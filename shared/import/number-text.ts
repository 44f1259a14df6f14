/**
 * Decimal numbers read from a stretch of text without cutting it out. Exactly rounded: up to 15 significant digits and 22 decimals
 * a double holds both mantissa and power of ten, so that one division rounds once; anything longer goes to the language's own
 * reader.
 */

const POWERS = Array.from({ length: 23 }, (_, exponent) => Number(`1e${exponent}`));
const PLAIN = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;

/**
 * The number in text[start, end), blanks around it allowed; NaN where it is empty or no plain decimal number.
 * @param decimal code of the decimal mark, 46 for a point, 44 for a comma
 */
export function numberIn(text: string, start: number, end: number, decimal: number): number {
  while (start < end && text.charCodeAt(start) <= 32) start++;
  while (end > start && text.charCodeAt(end - 1) <= 32) end--;
  let at = start;
  let negative = false;
  const sign = at < end ? text.charCodeAt(at) : 0;
  if (sign === 45 || sign === 43) {
    negative = sign === 45;
    at++;
  }
  let mantissa = 0;
  let digits = 0;
  let decimals = -1;
  for (; at < end; at++) {
    const code = text.charCodeAt(at);
    if (code >= 48 && code <= 57) {
      mantissa = mantissa * 10 + (code - 48);
      digits++;
      if (decimals >= 0) decimals++;
    } else if (code === decimal && decimals < 0) decimals = 0;
    else return longNumber(text.slice(start, end), decimal);
  }
  if (digits === 0) return NaN;
  if (digits > 15) return longNumber(text.slice(start, end), decimal);
  const value = decimals > 0 ? mantissa / POWERS[decimals]! : mantissa;
  return negative ? -value : value;
}

function longNumber(cell: string, decimal: number): number {
  if (decimal === 44 && cell.includes('.')) return NaN;
  const plain = decimal === 44 ? cell.replace(',', '.') : cell;
  return PLAIN.test(plain) ? Number(plain) : NaN;
}

/** Whether a cell says "no value" in one of the usual ways: nothing, NA, null, a dash, a dot, a star. */
export function isMissing(cell: string): boolean {
  return cell === '' || /^(n\.?\/?a\.?|nan|null|none|#n\/a|-+|\.|\*)$/i.test(cell);
}
