import { describe, expect, test } from 'vitest';
import { decode, encode } from '../../../shared/analysis/encode.ts';

const roundTrip = (value: unknown) => decode(encode(value));

describe('what is refused', () => {
  test.each([
    ['a function', () => 1],
    ['a map', new Map()],
    ['a set', new Set()],
  ])('%s has no place in a result', (_what, value) => {
    expect(() => encode({ value })).toThrow('not plain data');
  });
});

test('plain data come back equal', () => {
  const value = { a: [1, 'zwei', null, true, { b: [] }], c: {}, d: '', e: 'µ → ½' };
  expect(roundTrip(value)).toEqual(value);
});

test('numbers without a JSON form keep their value, in and out of arrays', () => {
  const value = { a: NaN, b: [Infinity, -Infinity], c: Float64Array.of(NaN, -0, Infinity, 5e-324) };
  expect(roundTrip(value)).toEqual(value);
});

test('every kind of column comes back as its kind, bit for bit, whatever lies before it', () => {
  const value = {
    odd: Uint8Array.of(1, 2, 3),
    f64: Float64Array.of(0.1, 1 / 3),
    u8: Uint8Array.of(255),
    f32: Float32Array.of(0.1),
    i32: Int32Array.of(-1, 2 ** 31 - 1),
    u32: Uint32Array.of(2 ** 32 - 1),
    u16: Uint16Array.of(65535),
    none: new Float64Array(0),
    last: Float64Array.of(Math.PI),
  };
  expect(roundTrip(value)).toEqual(value);
});

test('a window on a larger buffer is stored as the window alone', () => {
  const whole = Float64Array.of(1, 2, 3, 4);
  const value = { part: whole.subarray(1, 3) };
  expect(roundTrip(value)).toEqual({ part: Float64Array.of(2, 3) });
  expect(encode(value).length).toBeLessThan(100);
});

test('bytes that begin anywhere in a buffer are read', () => {
  const bytes = encode({ a: Float64Array.of(1, 2) });
  const shifted = new Uint8Array(bytes.length + 3);
  shifted.set(bytes, 3);
  expect(decode(shifted.subarray(3))).toEqual({ a: Float64Array.of(1, 2) });
});

test('more than ten arrays keep their order', () => {
  const many = Array.from({ length: 25 }, (_, i) => Int32Array.of(i, i * i));
  expect(roundTrip(many)).toEqual(many);
});

test('equal values are equal bytes', () => {
  const value = () => ({ a: Float64Array.of(1), b: { c: NaN } });
  expect(encode(value())).toEqual(encode(value()));
});
