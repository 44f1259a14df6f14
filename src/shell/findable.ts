/** Everything that the find box offers, and which of it answers what was typed. */
export interface Findable {
  readonly words: string;
  /** What it is: a place, a field, something to do. */
  readonly kind: string;
  /** Further words that it answers to. */
  readonly also?: string;
  run(): void;
}

/** Every typed word must occur; what begins with the first word comes first. */
export function matching(all: readonly Findable[], typed: string): Findable[] {
  const words = plain(typed).split(' ').filter(Boolean);
  const scored = all.flatMap((one) => {
    const text = plain(`${one.words} ${one.kind} ${one.also ?? ''}`);
    if (!words.every((word) => text.includes(word))) return [];
    const first = words[0] ?? '';
    const name = plain(one.words);
    return [{ one, score: name.startsWith(first) ? 0 : name.includes(` ${first}`) ? 1 : 2 }];
  });
  return scored.sort((a, b) => a.score - b.score).map(({ one }) => one);
}

function plain(text: string): string {
  return text.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase().replace(/\s+/g, ' ').trim();
}
