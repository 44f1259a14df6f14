/**
 * Where a text stops being JSON. Engines word and place their own message differently, or not at all, so the place is
 * found here; only asked for once JSON.parse has refused the text.
 * @source RFC 8259.
 */

export interface JsonBreak {
  /** Characters before the break. */
  readonly index: number;
  /** From 1. */
  readonly line: number;
  readonly column: number;
  /** What stands there, up to 12 characters; '' where the text simply ends. */
  readonly found: string;
  /** Objects of the outermost list that were closed before the break: the features of a feature collection. */
  readonly wholeItems: number;
}

/** @returns The first break, or null where the text is JSON. @cost O(length); no recursion. */
export function findJsonBreak(text: string): JsonBreak | null {
  const open: string[] = [];
  let wholeItems = 0;
  let at = 0;
  // What may come: a value, a key, ':' after a key, or what follows a value.
  let expect: 'value' | 'value or ]' | 'key' | 'key or }' | 'colon' | 'more' = 'value';

  const broken = (index: number): JsonBreak => {
    const before = text.slice(0, index);
    const lineStart = before.lastIndexOf('\n') + 1;
    return {
      index,
      line: before.split('\n').length,
      column: index - lineStart + 1,
      found: /^[^\s,\]}]{0,12}/.exec(text.slice(index, index + 12))![0] || text.slice(index, index + 1),
      wholeItems,
    };
  };
  const token = (pattern: RegExp) => {
    pattern.lastIndex = at;
    const match = pattern.exec(text);
    if (match) at = pattern.lastIndex;
    return match !== null;
  };

  for (;;) {
    token(/[ \t\r\n]*/y);
    const c = text[at];
    if (c === undefined) return expect === 'more' && open.length === 0 ? null : broken(at);
    if (expect === 'colon') {
      if (c !== ':') return broken(at);
      at++;
      expect = 'value';
    } else if (expect === 'key' || (expect === 'key or }' && c !== '}')) {
      if (!token(STRING)) return broken(stringBreak(text, at));
      expect = 'colon';
    } else if (expect === 'more' || expect === 'key or }' || (expect === 'value or ]' && c === ']')) {
      const inside = open.at(-1);
      if (c === ',' && expect === 'more' && inside !== undefined) {
        expect = inside === '{' ? 'key' : 'value';
      } else if ((c === '}' && inside === '{') || (c === ']' && inside === '[')) {
        open.pop();
        if (c === '}' && open.at(-1) === '[' && open.lastIndexOf('[') === open.indexOf('[')) wholeItems++;
        expect = 'more';
      } else return broken(at);
      at++;
    } else if (c === '{' || c === '[') {
      open.push(c);
      at++;
      expect = c === '{' ? 'key or }' : 'value or ]';
    } else if (c === '"') {
      if (!token(STRING)) return broken(stringBreak(text, at));
      expect = 'more';
    } else {
      if (!token(NUMBER) && !token(/true|false|null/y)) return broken(at);
      if (/[\w.+-]/.test(text[at] ?? '')) return broken(at);
      expect = 'more';
    }
  }
}

const NUMBER = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?/y;
const PLAIN = /(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*/y;
const STRING = new RegExp(`"${PLAIN.source}"`, 'y');

/** Where a text in quotes breaks: at its first bad character, or at the end of the file. */
function stringBreak(text: string, start: number): number {
  if (text[start] !== '"') return start;
  PLAIN.lastIndex = start + 1;
  PLAIN.exec(text);
  return PLAIN.lastIndex;
}
