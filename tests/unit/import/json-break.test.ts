import { describe, expect, it } from 'vitest';
import { findJsonBreak } from '../../../shared/import/json-break.ts';

describe('findJsonBreak', () => {
  it('finds no break in JSON', () => {
    for (const value of [null, 1, -2.5e-7, 'a "b" \\ é', [], {}, [[], {}], { a: [1, { b: null }], c: true, '': '' }]) {
      expect(findJsonBreak(JSON.stringify(value))).toBeNull();
      expect(findJsonBreak(JSON.stringify(value, null, 2))).toBeNull();
    }
  });

  it.each([
    ['{"a": NaN}', 6, 'NaN'],
    ['[1, -Infinity]', 4, '-Infinity'],
    ['[1,]', 3, ']'],
    ['{"a":1,}', 7, '}'],
    ['{a:1}', 1, 'a:1'],
    ["['x']", 1, "'x'"],
    ['[1 2]', 3, '2'],
    ['{"a" 1}', 5, '1'],
    ['[01]', 2, '1'],
    ['[1.]', 2, '.'],
    ['"a\tb"', 2, '\t'],
    ['[1]]', 3, ']'],
    ['{"a":1', 6, ''],
    ['"abc', 4, ''],
    ['', 0, ''],
    ['[tru', 1, 'tru'],
  ])('%s breaks at character %i', (text, index, found) => {
    expect(() => JSON.parse(text) as unknown).toThrow();
    expect(findJsonBreak(text)).toMatchObject({ index, found });
  });

  it('agrees with JSON.parse on whether there is a break, for every cut and every letter dropped', () => {
    const text = '{"type":"FeatureCollection","features":[{"a":[-1.5e3,"x\\u00e9\\n",{}]},{"b":[true,null]}]}';
    const isJson = (one: string) => {
      try {
        JSON.parse(one);
        return true;
      } catch {
        return false;
      }
    };
    for (let i = 0; i <= text.length; i++) {
      for (const one of [
        text.slice(0, i),
        text.slice(0, i) + text.slice(i + 1),
        `${text.slice(0, i)}"${text.slice(i)}`,
      ]) {
        expect(findJsonBreak(one) === null, one).toBe(isJson(one));
      }
    }
  });

  it('counts lines and columns from 1, and the whole features before the break', () => {
    const text = '{"features":[\n{"id":1,"x":{"y":[{}]}},\n{"id":2},\n{"id":Nan}]}';
    expect(findJsonBreak(text)).toMatchObject({ line: 4, column: 7, wholeItems: 2 });
  });

  it('does not recurse: 200 000 open lists are no danger', () => {
    expect(findJsonBreak('['.repeat(200_000))).toMatchObject({ index: 200_000, found: '' });
  });
});
