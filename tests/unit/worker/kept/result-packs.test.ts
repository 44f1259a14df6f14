import { beforeEach, describe, expect, it } from 'vitest';
import type { PackFile } from '../../../../src/worker/kept/pack.ts';
import type { PackFolder } from '../../../../src/worker/kept/pack-folder.ts';
import { ResultPacks } from '../../../../src/worker/kept/result-packs.ts';

/** A folder in memory. `fullAt` bytes is all that it takes. */
function folderOf(disk: Map<string, Uint8Array>, fullAt = Infinity): PackFolder {
  const sealed = (name: string): PackFile => {
    const bytes = disk.get(name)!;
    return { name, size: bytes.length, read: (from, to) => bytes.slice(from, to) };
  };
  return {
    list: () => Promise.resolve([...disk.keys()].sort().map(sealed)),
    begin(name) {
      disk.set(name, new Uint8Array());
      return Promise.resolve({
        name,
        get size() {
          return disk.get(name)!.length;
        },
        read: (from, to) => disk.get(name)!.slice(from, to),
        write(bytes) {
          const used = [...disk.values()].reduce((sum, one) => sum + one.length, 0);
          if (used + bytes.length > fullAt) throw new DOMException('full', 'QuotaExceededError');
          disk.set(name, Uint8Array.from([...disk.get(name)!, ...bytes]));
        },
        seal: () => Promise.resolve(sealed(name)),
      });
    },
    remove: (name) => Promise.resolve(void disk.delete(name)),
  };
}

const bytes = (...values: number[]) => Uint8Array.from(values);
const pause = () => Promise.resolve();
let disk: Map<string, Uint8Array>;
beforeEach(() => (disk = new Map()));

describe('results in packs', () => {
  it('are there again when the farm is opened again, each as it was written', async () => {
    const results = await ResultPacks.open(folderOf(disk), true);
    expect(results.isEmpty).toBe(true);
    results.write('a', bytes(1, 2, 3, 4, 5));
    results.write('b', bytes());
    expect([results.read('a'), results.has('c'), results.read('c')]).toEqual([bytes(1, 2, 3, 4, 5), false, null]);
    await results.settle();
    expect(results.read('a')).toEqual(bytes(1, 2, 3, 4, 5));
    const again = await ResultPacks.open(folderOf(disk), true);
    expect([again.read('a'), again.read('b'), again.has('c')]).toEqual([bytes(1, 2, 3, 4, 5), bytes(), false]);
  });

  it('of every size are there again, and the small ones take two reads of their pack', async () => {
    const results = await ResultPacks.open(folderOf(disk), true);
    const made = Array.from({ length: 40 }, (_, n) => new Uint8Array(n % 4 === 0 ? 70_000 + n : 500 + n).fill(n));
    for (const [n, one] of made.entries()) results.write(`key-${n}`, one);
    await results.settle();
    let reads = 0;
    const counted = folderOf(disk);
    const again = await ResultPacks.open(
      {
        ...counted,
        list: async () =>
          (await counted.list()).map((pack) => ({
            ...pack,
            read(from: number, to: number) {
              reads++;
              return pack.read(from, to);
            },
          })),
      },
      false,
    );
    for (const [n, one] of made.entries()) if (n % 4 !== 0) expect(again.read(`key-${n}`)).toEqual(one);
    expect(reads).toBe(2);
    for (const [n, one] of made.entries()) if (n % 4 === 0) expect(again.read(`key-${n}`)).toEqual(one);
    expect(reads).toBe(12);
  });

  it('that were not settled are lost with the page, and nothing else is', async () => {
    const results = await ResultPacks.open(folderOf(disk), true);
    results.write('a', bytes(1));
    await results.settle();
    results.write('b', bytes(2));
    const again = await ResultPacks.open(folderOf(disk), true);
    expect([again.has('a'), again.has('b')]).toEqual([true, false]);
  });

  it('of a damaged pack are thrown away, wherever the damage is', async () => {
    const results = await ResultPacks.open(folderOf(disk), true);
    results.write('a', bytes(1, 2, 3, 4, 5, 6));
    await results.settle();
    const [name, whole] = [...disk].find(([, one]) => one.length > 0)!;
    for (let at = 0; at < whole.length; at++) {
      const damaged = whole.slice();
      damaged[at]! ^= 4;
      const there = await ResultPacks.open(folderOf(new Map([[name, damaged]])), true);
      expect(there.read('a')).toBeNull();
      expect(there.has('a')).toBe(false);
    }
    for (let length = 0; length < whole.length; length++) {
      const cut = new Map([[name, whole.slice(0, length)]]);
      expect((await ResultPacks.open(folderOf(cut), true)).has('a')).toBe(false);
      expect(cut.has(name)).toBe(false);
    }
  });

  it('that a study did not use are dropped, and the disk gets their room back', async () => {
    const results = await ResultPacks.open(folderOf(disk), true);
    results.write('old', new Uint8Array(1000));
    results.write('kept', bytes(7));
    await results.settle();
    await results.keepOnly(new Set(['kept']), pause);
    expect([results.has('old'), results.read('kept')]).toEqual([false, bytes(7)]);
    expect([...disk.values()].reduce((sum, one) => sum + one.length, 0)).toBeLessThan(200);
    const again = await ResultPacks.open(folderOf(disk), true);
    expect([again.has('old'), again.read('kept')]).toEqual([false, bytes(7)]);
  });

  it('in many small packs are put together', async () => {
    const results = await ResultPacks.open(folderOf(disk), true);
    const keys = Array.from({ length: 30 }, (_, n) => `key-${n}`);
    for (const [n, key] of keys.entries()) {
      results.write(key, bytes(n));
      await results.settle();
    }
    await results.keepOnly(new Set(keys), pause);
    // The one that holds them all, and the next one, which is still empty.
    expect(disk.size).toBe(2);
    const again = await ResultPacks.open(folderOf(disk), true);
    expect(keys.map((key) => again.read(key)![0])).toEqual(keys.map((_, n) => n));
  });

  it('are held in memory where the disk is full, and what lay in the unfinished pack is computed anew', async () => {
    const results = await ResultPacks.open(folderOf(disk, 100), true);
    results.write('a', bytes(1));
    results.write('large', new Uint8Array(5 * 2 ** 20));
    expect(results.isRefused).toBe(true);
    expect([results.read('a'), results.read('large')?.length]).toEqual([bytes(1), 5 * 2 ** 20]);
    const less = await ResultPacks.open(folderOf(new Map(), 6 * 2 ** 20), true);
    less.write('written', new Uint8Array(4.5 * 2 ** 20));
    less.write('too much', new Uint8Array(4.5 * 2 ** 20));
    expect([less.isRefused, less.has('written'), less.read('too much')?.length]).toEqual([true, false, 4.5 * 2 ** 20]);
    less.write('written', bytes(1));
    expect(less.read('written')).toEqual(bytes(1));
  });

  it('are read and never written by a tab that only looks', async () => {
    const writer = await ResultPacks.open(folderOf(disk), true);
    writer.write('a', bytes(1));
    await writer.settle();
    const before = new Map(disk);
    const looking = await ResultPacks.open(folderOf(disk), false);
    looking.write('b', bytes(2));
    await looking.settle();
    await looking.keepOnly(new Set(['b']), pause);
    expect(looking.read('b')).toEqual(bytes(2));
    expect(disk).toEqual(before);
  });
});
