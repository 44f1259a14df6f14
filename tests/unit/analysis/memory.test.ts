import { describe, expect, test } from 'vitest';
import { Memory } from '../../../shared/analysis/memory.ts';
import { memoryStore } from '../../../shared/analysis/memory-store.ts';
import { done, problem } from '../../../shared/model/problem.ts';
import { drive } from '../../support/import-text.ts';

const NUMBERS = 1000;
const result = (n: number) => done(new Float64Array(NUMBERS).fill(n), [problem('note', `told-${n}`, 'Told.')]);
const roomFor = (results: number) => (results + 0.5) * 8 * NUMBERS;

describe('results that outgrow the memory', () => {
  test('give way, the one used longest ago first, and never hold more than the limit', () => {
    const store = memoryStore();
    const memory = new Memory(store, roomFor(2));
    for (const n of [1, 2, 3, 4]) {
      memory.keep(`key-${n}`, result(n), false);
      if (n === 3) memory.outcome('key-2');
      expect(memory.heldBytes).toBeLessThanOrEqual(roomFor(2));
    }
    expect([...store.kept.keys()]).toEqual(['key-1', 'key-3']);
  });
  test('are read from the store when they are asked for again, equal to the last digit', () => {
    const memory = new Memory(memoryStore(), roomFor(1));
    for (const n of [1, 2]) memory.keep(`key-${n}`, result(n), false);
    expect(memory.outcome('key-1')).toEqual(result(1));
    expect(memory.heldBytes).toBeLessThanOrEqual(roomFor(1));
  });
  test('keep their problems even where the store forgets them', () => {
    const memory = new Memory({ has: () => false, read: () => null, write: () => undefined }, roomFor(1));
    for (const n of [1, 2]) memory.keep(`key-${n}`, result(n), false);
    expect(memory.has('key-1')).toBe(false);
    expect(memory.outcome('key-1')).toBeNull();
    expect(memory.problemsOf('key-1')).toEqual(result(1).problems);
  });
});

test('nothing is written before a quiet moment, and then each result once', () => {
  const store = memoryStore();
  let writes = 0;
  const memory = new Memory({ ...store, write: (key, bytes) => (writes++, store.write(key, bytes)) });
  for (const n of [1, 2]) memory.keep(`key-${n}`, result(n), false);
  expect(writes).toBe(0);
  drive(memory.save(['key-1', 'key-2', 'key-3']));
  drive(memory.save(['key-1', 'key-2', 'key-3']));
  expect(writes).toBe(2);
  expect(new Memory(store).outcome('key-2')).toEqual(result(2));
});

test('a result keyed by content is seen as its content, in this memory and in the next over its store', () => {
  const store = memoryStore();
  const memory = new Memory(store);
  memory.keep('a', result(1), true);
  memory.keep('b', result(1), true);
  memory.keep('c', result(1), false);
  expect(memory.seenAs('a')).toBe(memory.seenAs('b'));
  expect(memory.seenAs('c')).toBe('c');
  expect(new Memory(store).seenAs('a')).toBe(memory.seenAs('a'));
  expect(memory.seenAs('never')).toBeNull();
});

test('the same result kept twice counts once', () => {
  const memory = new Memory(memoryStore());
  memory.keep('a', result(1), false);
  const once = memory.heldBytes;
  memory.keep('a', result(1), false);
  expect(memory.heldBytes).toBe(once);
});
