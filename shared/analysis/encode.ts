/**
 * A result as bytes and back: JSON for the shape, typed arrays appended raw. Keeps NaN and ±Infinity, also outside arrays.
 * Little-endian throughout (every engine that runs this is).
 */

const KINDS = {
  f64: Float64Array,
  f32: Float32Array,
  i32: Int32Array,
  u32: Uint32Array,
  u16: Uint16Array,
  u8: Uint8Array,
} as const;
type Kind = keyof typeof KINDS;
type Typed = Float64Array | Float32Array | Int32Array | Uint32Array | Uint16Array | Uint8Array;

const ODD: Readonly<Record<string, number>> = { NaN: NaN, Infinity: Infinity, '-Infinity': -Infinity };

function kindOf(value: unknown): Kind | null {
  for (const kind of Object.keys(KINDS) as Kind[]) if (value instanceof KINDS[kind]) return kind;
  return null;
}

/** @throws if a value has no place in a result: a function, a class of its own. */
export function encode(value: unknown): Uint8Array<ArrayBuffer> {
  const arrays: Typed[] = [];
  const text = JSON.stringify(value, (_key, one: unknown) => {
    if (typeof one === 'number' && !Number.isFinite(one)) return { $number: String(one) };
    const kind = ArrayBuffer.isView(one) ? kindOf(one) : null;
    if (kind === null) {
      if (typeof one === 'function' || one instanceof Map || one instanceof Set)
        throw new Error('encode: not plain data');
      return one;
    }
    arrays.push(one as Typed);
    return { $array: arrays.length - 1, kind, length: (one as Typed).length };
  });
  const head = new TextEncoder().encode(text);
  let size = aligned(8 + head.length);
  const offsets = arrays.map((array) => {
    const at = size;
    size = aligned(size + array.byteLength);
    return at;
  });
  const bytes = new Uint8Array(size);
  new DataView(bytes.buffer).setUint32(0, head.length, true);
  bytes.set(head, 8);
  arrays.forEach((array, index) => {
    bytes.set(new Uint8Array(array.buffer, array.byteOffset, array.byteLength), offsets[index]!);
  });
  return bytes;
}

export function decode(bytes: Uint8Array): unknown {
  const whole = bytes.byteOffset % 8 === 0 ? bytes : bytes.slice();
  const headLength = new DataView(whole.buffer, whole.byteOffset, 8).getUint32(0, true);
  let at = aligned(8 + headLength);
  // The arrays stand in the order in which JSON.stringify met them, which is the order of their numbers.
  const text = new TextDecoder().decode(whole.subarray(8, 8 + headLength));
  const places = new Map<number, { kind: Kind; length: number }>();
  const parsed: unknown = JSON.parse(text, (_key, one: unknown) => {
    if (typeof one !== 'object' || one === null) return one;
    if ('$number' in one) return ODD[String(one.$number)];
    if ('$array' in one) {
      const mark = one as unknown as { $array: number; kind: Kind; length: number };
      places.set(mark.$array, mark);
      return new Place(mark.$array);
    }
    return one;
  });
  const arrays: Typed[] = [];
  for (let number = 0; number < places.size; number++) {
    const { kind, length } = places.get(number)!;
    const array = new KINDS[kind](whole.buffer as ArrayBuffer, whole.byteOffset + at, length);
    arrays.push(array);
    at = aligned(at + array.byteLength);
  }
  return fill(parsed, arrays);
}

class Place {
  constructor(readonly number: number) {}
}

function fill(value: unknown, arrays: readonly Typed[]): unknown {
  if (value instanceof Place) return arrays[value.number];
  if (Array.isArray(value)) {
    for (let i = 0; i < value.length; i++) value[i] = fill(value[i], arrays);
  } else if (typeof value === 'object' && value !== null) {
    const record = value as Record<string, unknown>;
    for (const key of Object.keys(record)) record[key] = fill(record[key], arrays);
  }
  return value;
}

function aligned(size: number): number {
  return (size + 7) & ~7;
}
