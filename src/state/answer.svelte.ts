/** One answer of the worker, asked again when what it rests on changed; the old one of the same subject stands until then. */
export interface Asking<T> {
  /** What the answer is about: another subject forgets the old answer at once. */
  readonly subject: string;
  ask(): Promise<T>;
}

export class Answer<T> {
  private known = $state.raw<{ readonly subject: string; readonly value: T } | null>(null);
  private failed = $state(false);
  private readonly subject: string | null;

  /** To be made while a component is: it asks in an effect. @param wanted null: nothing is asked; read in it what a new answer depends on */
  constructor(wanted: () => Asking<T> | null) {
    this.subject = $derived(wanted()?.subject ?? null);
    let turn = 0;
    $effect(() => {
      const now = ++turn;
      const want = wanted();
      if (!want) return;
      want.ask().then(
        (value) => {
          if (now !== turn) return;
          this.failed = false;
          this.known = { subject: want.subject, value };
        },
        () => {
          if (now === turn) this.failed = true;
        },
      );
    });
  }

  /** null until it is answered. */
  get value(): T | null {
    return this.known !== null && this.known.subject === this.subject ? this.known.value : null;
  }
  /** True where the program failed at it. */
  get isBroken(): boolean {
    return this.failed && this.value === null;
  }
}
