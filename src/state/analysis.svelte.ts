/** What is known of the farm: the last study, whether it is still of the document as it is, and the attempt under way. */
import type { Ranking } from '../../shared/analysis/ranking.ts';
import type { Study } from '../../shared/analysis/study.ts';
import type { Problem } from '../../shared/model/problem.ts';
import type { CoreClient, Ending, Listener, Work } from '../worker/client.ts';
import type { Progress } from '../worker/protocol.ts';
import type { AnswerOf, AskOf, QuestionKind } from '../worker/questions.ts';

export type Attempt =
  | { readonly is: 'none' }
  | { readonly is: 'working'; readonly on: string; readonly progress: Progress }
  /** Stopped by the person; `again` goes on where it can. */
  | { readonly is: 'stopped'; readonly on: string }
  | { readonly is: 'refused'; readonly on: string; readonly problems: readonly Problem[] }
  | { readonly is: 'broken'; readonly on: string; readonly text: string };

export class Analysis {
  private known = $state.raw<Study | null>(null);
  private now = $state.raw<Attempt>({ is: 'none' });
  private fresh = $state(false);
  private ranked = $state.raw<Ranking | null>(null);
  /** Rises with every complete study: answers of an older one are stale. */
  private studies = $state(0);
  private work: Work | null = null;
  /** Rises with every attempt: what an older one still has to say is not heard. */
  private turn = 0;

  constructor(private readonly core: CoreClient) {}

  /** The last study, perhaps stale. */
  get study(): Study | null {
    return this.known;
  }
  get attempt(): Attempt {
    return this.now;
  }
  /** True where the study is complete and of the document as it is. */
  get isFresh(): boolean {
    return this.fresh;
  }
  /** The ranked list of the study under way, certain before the rest is there; null where there is none, or the study itself is there. */
  get ranking(): Ranking | null {
    return this.ranked;
  }
  /** True where nothing but the ranked list is known yet. */
  get isFirstLook(): boolean {
    return this.known === null && this.ranked !== null;
  }
  /** For what rests on answers: read it in a `$derived` or an effect, and ask again when it changed. */
  get generation(): number {
    return this.studies;
  }

  /** Sets off a study. What was known stays on the screen, stale, until the new one is there. */
  follow(on: string, begin: (listener: Pick<Listener, 'progress' | 'firstLook'>) => Work): Promise<Ending> {
    const turn = this.begin(on, 'Beginning');
    this.work = begin({
      progress: (progress) => turn === this.turn && this.tell(on, progress),
      firstLook: (ranking) => void (turn === this.turn && (this.ranked = ranking)),
    });
    const { ending } = this.work;
    return ending.then((how) => {
      if (turn === this.turn) this.close(on, how);
      return how;
    });
  }

  /** Marks the beginning of work that is not yet the worker's (a file is fetched or read). @returns whether it is still the latest */
  prepare(on: string, title: string, stop: () => void): (progress: Progress) => boolean {
    const turn = this.begin(on, title);
    this.work = { ending: new Promise<never>(() => undefined), return: stop };
    return (progress) => {
      if (turn !== this.turn) return false;
      this.tell(on, progress);
      return true;
    };
  }

  refuse(on: string, problems: readonly Problem[]): void {
    this.turn++;
    this.now = { is: 'refused', on, problems };
  }

  /** Stops what is under way; what was computed until then is kept for going on. */
  stop(): void {
    if (this.now.is !== 'working') return;
    this.turn++;
    this.work?.return();
    this.now = { is: 'stopped', on: this.now.on };
  }

  /** What was under way is no longer wanted, and nothing is told of it. */
  giveUp(): void {
    this.turn++;
    if (this.now.is === 'working') this.work?.return();
    this.now = { is: 'none' };
  }

  /** Puts away what was refused, stopped or broken. */
  dismiss(): void {
    if (this.now.is !== 'working') this.now = { is: 'none' };
  }

  /** Another farm: nothing is known of it yet. */
  forget(): void {
    this.known = null;
    this.fresh = false;
    this.ranked = null;
  }

  ask<K extends QuestionKind>(
    question: K,
    ask: AskOf<K>,
    transfer: Transferable[] = [],
    told?: (progress: Progress) => void,
  ): Promise<AnswerOf<K>> {
    return this.core.ask(question, ask, transfer, told);
  }

  private begin(on: string, title: string): number {
    this.work?.return();
    this.fresh = false;
    this.now = { is: 'working', on, progress: { title, done: 0, total: 0 } };
    return ++this.turn;
  }

  private tell(on: string, progress: Progress): void {
    this.now = { is: 'working', on, progress };
  }

  private take(study: Study): void {
    this.known = study;
    this.ranked = null;
    this.studies++;
  }

  private close(on: string, ending: Ending): void {
    switch (ending.kind) {
      case 'result':
        this.take(ending.study);
        this.fresh = true;
        this.now = { is: 'none' };
        break;
      case 'refused':
        this.now = { is: 'refused', on, problems: ending.problems };
        break;
      case 'broken':
        this.now = { is: 'broken', on, text: ending.text };
        break;
      case 'stopped':
        this.now = { is: 'stopped', on };
        break;
      case 'taken':
        this.now = { is: 'none' };
        break;
      case 'overtaken':
        break;
    }
  }
}
