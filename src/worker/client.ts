/** The page's end of the worker: one study at a time, stopped by `return()`, the latest wins by its number; and any number of questions. */
import type { Ranking } from '../../shared/analysis/ranking.ts';
import type { Study } from '../../shared/analysis/study.ts';
import type { Edit } from '../../shared/model/edit.ts';
import type { Farm } from '../../shared/model/farm.ts';
import type { Problem } from '../../shared/model/problem.ts';
import type { Kept, OpenHow, Progress, Reply, Request } from './protocol.ts';
import type { AnswerOf, AskOf, QuestionKind } from './questions.ts';

/** As much of a Worker as is used. */
export interface WorkerPort {
  postMessage(request: Request, transfer?: Transferable[]): void;
  onmessage: ((event: MessageEvent<Reply>) => void) | null;
  onerror: ((event: ErrorEvent) => void) | null;
}

export type Ending =
  | { readonly kind: 'result'; readonly study: Study }
  | { readonly kind: 'refused'; readonly problems: readonly Problem[] }
  | { readonly kind: 'stopped' }
  /** A farm of that id is here already, and nobody said what to do with it. */
  | { readonly kind: 'taken'; readonly farm: { readonly id: string; readonly name: string } }
  /** A later request took its place. */
  | { readonly kind: 'overtaken' }
  | { readonly kind: 'broken'; readonly text: string };

export interface Listener {
  /** Also heard where the study was stopped meanwhile: the worker has that farm open now. */
  opened(farm: Farm, problems: readonly Problem[]): void;
  progress(progress: Progress): void;
  firstLook(ranking: Ranking): void;
}

export interface Work {
  /** Never rejects. */
  readonly ending: Promise<Ending>;
  /** Stops: the ending is known at once, and whatever the worker still says of it is not heard. */
  return(): void;
}

interface Running {
  readonly number: number;
  readonly listener: Listener;
  end(ending: Ending): void;
}

interface Asked {
  told(progress: Progress): void;
  give(answer: unknown): void;
  fail(error: Error): void;
}

export class CoreClient {
  /** Told where attachments lie, or why they could not be kept. */
  onKept: (kept: Kept) => void = () => undefined;
  private last = 0;
  /** The request that opened the document which the page has on the desk. */
  private document = 0;
  private running: Running | null = null;
  private readonly openings = new Map<number, Listener>();
  private readonly asked = new Map<number, Asked>();

  constructor(private readonly port: WorkerPort) {
    port.onmessage = ({ data }) => this.hear(data);
    port.onerror = ({ message }) => {
      const text = message || 'The worker could not be started.';
      this.finish({ kind: 'broken', text });
      for (const one of this.asked.values()) one.fail(new Error(text));
      this.asked.clear();
    };
  }

  /** Opens a farm file and studies it; its bytes are handed over. */
  open(name: string, bytes: ArrayBuffer, how: OpenHow, listener: Listener): Work {
    return this.study(
      (number) => {
        this.openings.set(number, listener);
        return { kind: 'open', number, name, bytes, how };
      },
      listener,
      [bytes],
    );
  }

  /** Opens a document that is kept on this machine, or one without attachments; the page has it on the desk already. */
  reopen(farm: Farm, named: readonly string[], keeps: boolean, season: number | null, listener: Listener): Work {
    return this.study((number) => {
      this.document = number;
      this.openings.set(number, listener);
      return { kind: 'reopen', number, farm, named, keeps, season };
    }, listener);
  }

  /** Applies the edit in the worker too, and studies what is stale. */
  edit(edit: Edit, season: number | null, listener: Listener): Work {
    return this.study((number) => ({ kind: 'edit', number, of: this.document, edit, season }), listener);
  }

  /** Studies the open farm again; what is known already is reused. */
  resume(season: number | null, listener: Listener): Work {
    return this.study((number) => ({ kind: 'resume', number, season }), listener);
  }

  /** A question about the open farm. Rejects only where something in the program went wrong. @param told of one whose answer takes long */
  ask<K extends QuestionKind>(
    question: K,
    ask: AskOf<K>,
    transfer: Transferable[] = [],
    told: (progress: Progress) => void = () => undefined,
  ): Promise<AnswerOf<K>> {
    const number = ++this.last;
    return new Promise<AnswerOf<K>>((give, fail) => {
      this.asked.set(number, { told, give: (answer) => give(answer as AnswerOf<K>), fail });
      this.port.postMessage({ kind: 'ask', number, question, ask }, transfer);
    });
  }

  private study(request: (number: number) => Request, listener: Listener, transfer: Transferable[] = []): Work {
    this.finish({ kind: 'overtaken' });
    const number = ++this.last;
    const ending = new Promise<Ending>((resolve) => (this.running = { number, listener, end: resolve }));
    this.port.postMessage(request(number), transfer);
    return {
      ending,
      return: () => {
        if (this.running?.number !== number) return;
        this.port.postMessage({ kind: 'stop', number });
        this.finish({ kind: 'stopped' });
      },
    };
  }

  private hear(reply: Reply): void {
    const asked = this.asked.get(reply.number);
    if (asked && reply.kind === 'progress') return asked.told(reply.progress);
    if (asked) {
      this.asked.delete(reply.number);
      if (reply.kind === 'answer') asked.give(reply.answer);
      else asked.fail(new Error(reply.kind === 'broken' ? reply.text : `unexpected ${reply.kind}`));
      return;
    }
    if (reply.kind === 'kept') return this.onKept(reply.kept);
    if (reply.kind === 'opened') return this.opened(reply.number, reply.farm, reply.problems);
    const { running } = this;
    if (running?.number !== reply.number) return;
    switch (reply.kind) {
      case 'progress':
        return running.listener.progress(reply.progress);
      case 'ranking':
        return running.listener.firstLook(reply.ranking);
      case 'result':
        return this.finish({ kind: 'result', study: reply.study });
      case 'refused':
        return this.finish({ kind: 'refused', problems: reply.problems });
      case 'stopped':
        return this.finish({ kind: 'stopped' });
      case 'taken':
        return this.finish({ kind: 'taken', farm: reply.farm });
      case 'broken':
        return this.finish({ kind: 'broken', text: reply.text });
    }
  }

  private opened(number: number, farm: Farm, problems: readonly Problem[]): void {
    const listener = this.openings.get(number);
    for (const older of this.openings.keys()) if (older <= number) this.openings.delete(older);
    // One that came back late: the page has another document by now, and so will the worker.
    if (!listener || number < this.document) return;
    this.document = number;
    listener.opened(farm, problems);
  }

  private finish(ending: Ending): void {
    const { running } = this;
    this.running = null;
    running?.end(ending);
  }
}

export function startCore(): CoreClient {
  return new CoreClient(new Worker(new URL('./core.worker.ts', import.meta.url), { type: 'module', name: 'core' }));
}
