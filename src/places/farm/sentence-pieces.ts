/** A sentence parted at its numbers. */
export interface Piece {
  readonly text: string;
  /** Of the working; null for plain words. */
  readonly path: string | null;
}

export function piecesOf(sentence: string, numbers: readonly { text: string; path: string }[]): Piece[] {
  const pieces: Piece[] = [];
  let rest = sentence;
  for (const { text, path } of numbers) {
    const at = rest.indexOf(text);
    if (at < 0) throw new Error(`piecesOf: "${text}" does not stand in "${rest}"`);
    if (at > 0) pieces.push({ text: rest.slice(0, at), path: null });
    pieces.push({ text, path });
    rest = rest.slice(at + text.length);
  }
  return rest === '' ? pieces : [...pieces, { text: rest, path: null }];
}
