/** Pieces of sentences. */
import { formatNumber } from './format.ts';

/** A text as it begins a sentence. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** "1 field", "14 fields", "2 patches". */
export function counted(n: number, one: string, many = `${one}s`): string {
  return `${formatNumber(n, 0)} ${n === 1 ? one : many}`;
}

/** "A", "A and B", "A, B and C". */
export function listed(names: readonly string[]): string {
  return names.length < 2 ? (names[0] ?? '') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
}

/** "A, B, C and 4 more": the first few, once more than `most` would be named. */
export function fewListed(names: readonly string[], most: number): string {
  return listed(names.length > most ? [...names.slice(0, most), `${names.length - most} more`] : names);
}

/** Up to five names; of more the first four. */
export function shortlist(names: readonly string[]): string {
  return names.length > 5 ? fewListed(names, 4) : listed(names);
}
