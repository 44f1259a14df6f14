/** A number as a person types it into a form. */

export type TypedNumber =
  | { readonly is: 'number'; readonly value: number }
  | { readonly is: 'empty' }
  | { readonly is: 'nonsense'; readonly text: string };

const PLAIN = /^[+-]?(\d+\.?\d*|\.\d+)$/;
const GROUPED = /^[+-]?\d{1,3}(,\d{3})+(\.\d+)?$/;

/** Blanks around it and thousands commas are allowed; a decimal comma, an exponent and anything else are not guessed at. */
export function readTyped(text: string): TypedNumber {
  const plain = text.trim();
  if (plain === '') return { is: 'empty' };
  if (!PLAIN.test(plain) && !GROUPED.test(plain)) return { is: 'nonsense', text: plain };
  return { is: 'number', value: Number(plain.replaceAll(',', '')) };
}
