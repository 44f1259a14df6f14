/** Letters of zones: A, B … Z, AA, AB … Given once, kept for good; a free one is given again. */

/** @param index from 0 */
export function letterOf(index: number): string {
  const last = String.fromCharCode(65 + (index % 26));
  return index < 26 ? last : letterOf(Math.floor(index / 26) - 1) + last;
}

/** The first letter that no zone has. */
export function freeLetter(zones: readonly { readonly letter: string }[]): string {
  const taken = new Set(zones.map((one) => one.letter));
  for (let index = 0; ; index++) if (!taken.has(letterOf(index))) return letterOf(index);
}

const LONGEST_ID = 64;

/** The name of a zone in the document: its field and its letter. */
export function zoneId(field: string, letter: string): string {
  return `${field.slice(0, LONGEST_ID - letter.length - 1)}-${letter}`;
}
