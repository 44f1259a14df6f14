/** The worker's answers to one question for many fields, asked again when what they rest on changed. */
import { gatherAnswers, type Wanted } from './gather-answers.ts';

export class FieldAnswers<T> {
  private known = $state.raw<{ readonly subject: string; readonly of: ReadonlyMap<string, T> } | null>(null);
  private readonly subject: string | null;

  /** To be made while a component is: it asks in an effect. @param wanted null: nothing is asked */
  constructor(wanted: () => Wanted<T> | null) {
    this.subject = $derived(wanted()?.subject ?? null);
    let turn = 0;
    $effect(() => {
      const now = ++turn;
      const want = wanted();
      if (!want) return;
      void gatherAnswers(want, () => now === turn).then((of) => {
        if (of) this.known = { subject: want.subject, of };
      });
    });
  }

  /** By field; null until all are answered. */
  get all(): ReadonlyMap<string, T> | null {
    return this.known !== null && this.known.subject === this.subject ? this.known.of : null;
  }
}
