import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { canonicalJson, digestOf, digestOfChunks, digestOfJson } from '../../../shared/analysis/digest.ts';

const bytes = new TextEncoder().encode('abc');

/** @source FIPS 180-4, example "abc" (NIST). */
test('the digest is SHA-256 in lower-case hexadecimal', () => {
  expect(digestOf(bytes)).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
});

test('digests agree with the system’s own for every length around a block, whole and in pieces', () => {
  for (let length = 0; length <= 200; length++) {
    const some = Uint8Array.from({ length }, (_, i) => (i * 37 + length) & 255);
    const outside = createHash('sha256').update(some).digest('hex');
    expect(digestOf(some)).toBe(outside);
    expect(digestOfChunks([some.subarray(0, length >> 1), new Uint8Array(0), some.subarray(length >> 1)])).toBe(
      outside,
    );
  }
});

describe('canonical JSON', () => {
  test('refuses numbers that JSON cannot hold, wherever they stand', () => {
    for (const value of [NaN, Infinity, { a: [-Infinity] }]) expect(() => canonicalJson(value)).toThrow('no JSON form');
  });
  test('does not depend on the order of members, nor on members that are undefined', () => {
    expect(canonicalJson({ b: 1, a: { d: [1, 2], c: 'x' }, e: undefined })).toBe('{"a":{"c":"x","d":[1,2]},"b":1}');
    expect(digestOfJson({ a: 1, b: 2 })).toBe(digestOfJson({ b: 2, a: 1, c: undefined }));
  });
  test('keeps the order of lists, and tells types apart', () => {
    const all = [[1, 2], [2, 1], ['1', 2], { 0: 1, 1: 2 }, null, 'null', [null], [[]], []];
    expect(new Set(all.map((one) => digestOfJson(one))).size).toBe(all.length);
  });
});
