/** Typed columns that grow by doubling: a log of any length is read without an object a row. */

export type Numbers = Float64Array | Float32Array;

export class Growing<A extends Float64Array | Float32Array | Uint32Array | Int32Array | Uint8Array> {
  private values: A;
  count = 0;

  constructor(
    private readonly make: new (length: number) => A,
    room = 1024,
  ) {
    this.values = new make(room);
  }

  push(value: number): void {
    if (this.count === this.values.length) {
      const wider = new this.make(Math.max(1024, this.values.length * 2));
      wider.set(this.values);
      this.values = wider;
    }
    this.values[this.count++] = value;
  }

  at(index: number): number {
    return this.values[index]!;
  }

  /** Overwrites from an element on. */
  put(from: number, values: ArrayLike<number>): void {
    for (let i = 0; i < values.length; i++) this.values[from + i] = values[i]!;
  }

  /** The values without spare room, which is given back. */
  done(): A {
    if (this.values.length !== this.count) this.values = this.values.slice(0, this.count) as A;
    return this.values;
  }
}
