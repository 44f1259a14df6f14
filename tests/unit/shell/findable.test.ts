import { describe, expect, it } from 'vitest';
import { type Findable, matching } from '../../../src/shell/findable.ts';

const one = (words: string, kind: string, also?: string): Findable => ({
  words,
  kind,
  ...(also === undefined ? {} : { also }),
  run: () => undefined,
});
const all = [one('Harvest', 'place'), one('North Flat', 'field'), one('Shade by yield', 'map'), one('Ñandú', 'field')];
const found = (typed: string) => matching(all, typed).map((each) => each.words);

describe('what the find box finds', () => {
  it('offers everything while nothing is typed', () => {
    expect(found('')).toHaveLength(4);
  });
  it('wants every typed word, in any order, in the name, the kind or the further words', () => {
    expect(found('flat nor')).toEqual(['North Flat']);
    expect(found('field')).toEqual(['North Flat', 'Ñandú']);
    expect(found('yield harvest')).toEqual([]);
  });
  it('sets what begins with the typed word first', () => {
    const list = [one('Old Home', 'field'), one('Home', 'field'), one('Chrome', 'field')];
    expect(matching(list, 'home').map((each) => each.words)).toEqual(['Home', 'Old Home']);
    expect(matching([one('Go home', 'x'), ...list], 'hom').map((each) => each.words)[0]).toBe('Home');
  });
  it('does not mind accents and case', () => {
    expect(found('nandu')).toEqual(['Ñandú']);
  });
});
