import { expect, test } from 'vitest';
import { onceFor } from '../../../shared/analysis/once-for.ts';

test('the same objects in the same order are looked at once; others, fewer or more are not them', () => {
  const looked: string[] = [];
  const joined = onceFor((list: readonly { name: string }[]) => {
    const text = list.map((one) => one.name).join('');
    looked.push(text);
    return text === '' ? null : text;
  });
  const [a, b, likeA] = [{ name: 'a' }, { name: 'b' }, { name: 'a' }];
  expect([[a, b], [a, b], [b, a], [a], [a], [likeA], [], []].map((list) => joined(list))).toEqual([
    'ab',
    'ab',
    'ba',
    'a',
    'a',
    'a',
    null,
    null,
  ]);
  expect(looked).toEqual(['ab', 'ba', 'a', 'a', '']);
});
