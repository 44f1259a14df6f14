/** Work under way, by key: whoever asks for the same result meanwhile drives the same work on, so that nothing is worked out twice. */

interface UnderWay<P, T> {
  readonly work: Generator<P, T, void>;
  drivers: number;
  ended: { readonly value: T } | { readonly error: unknown } | null;
}

export class SharedWork<P, T> {
  private readonly underWay = new Map<string, UnderWay<P, T>>();

  /** Given up once nobody drives it any more. */
  *drive(key: string, begin: () => Generator<P, T, void>): Generator<P, T, void> {
    const one = this.underWay.get(key) ?? { work: begin(), drivers: 0, ended: null };
    this.underWay.set(key, one);
    one.drivers++;
    try {
      for (;;) {
        const progress = one.ended ? null : step(one);
        if (progress) yield progress.value;
        else if (one.ended && 'value' in one.ended) return one.ended.value;
        else if (one.ended) throw one.ended.error;
      }
    } finally {
      one.drivers--;
      if (one.ended || one.drivers === 0) this.underWay.delete(key);
      if (!one.ended && one.drivers === 0) one.work.return(undefined as T);
    }
  }
}

/** @returns null where it ended */
function step<P, T>(one: UnderWay<P, T>): { readonly value: P } | null {
  try {
    const turn = one.work.next();
    if (!turn.done) return turn;
    one.ended = { value: turn.value };
  } catch (error) {
    one.ended = { error };
  }
  return null;
}
