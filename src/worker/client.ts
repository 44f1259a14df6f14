/** The page's end of the worker: one study at a time, stopped by `return()`, the latest wins by its number; and any number of questions. */
import type { Study } from '../../shared/analysis/study.ts';
import type { Edit } from '../../shared/model/edit.ts';
import type { Farm } from '../../shared/model/farm.ts';
import type { Problem } from '../../shared/model/problem.ts';
import type { Progress, Reply, Request } from './protocol.ts';
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
  /** A later request took its place. */
  | { readonly kind: 'overtaken' }
  | { readonly kind: 'broken'; readonly text: string };

export interface Listener {
  opened(farm: Farm, problems: readonly Problem[]): void;
  progress(progress: Progress): void;
  firstLook(study: Study): void;
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
  give(answer: unknown): void;
  fail(error: Error): void;
}

export class CoreClient {
  private last = 0;
  private running: Running | null = null;
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
  open(name: string, bytes: ArrayBuffer, listener: Listener): Work {
    return this.study((number) => ({ kind: 'open', number, name, bytes }), listener, [bytes]);
  }

  /** Opens a document whose attachments the worker has kept, or one without any. */
  reopen(farm: Farm, listener: Listener): Work {
    return this.study((number) => ({ kind: 'reopen', number, farm }), listener);
  }

  /** Applies the edit in the worker too, and studies what is stale. */
  edit(edit: Edit, season: number | null, listener: Listener): Work {
    return this.study((number) => ({ kind: 'edit', number, edit, season }), listener);
  }

  /** Studies the open farm again; what is known already is reused. */
  resume(season: number | null, listener: Listener): Work {
    return this.study((number) => ({ kind: 'resume', number, season }), listener);
  }

  /** A question about the open farm. Rejects only where something in the program went wrong. */
  ask<K extends QuestionKind>(question: K, ask: AskOf<K>, transfer: Transferable[] = []): Promise<AnswerOf<K>> {
    const number = ++this.last;
    return new Promise<AnswerOf<K>>((give, fail) => {
      this.asked.set(number, { give: (answer) => give(answer as AnswerOf<K>), fail });
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
    if (asked) {
      this.asked.delete(reply.number);
      if (reply.kind === 'answer') asked.give(reply.answer);
      else asked.fail(new Error(reply.kind === 'broken' ? reply.text : `unexpected ${reply.kind}`));
      return;
    }
    const { running } = this;
    if (running?.number !== reply.number) return;
    switch (reply.kind) {
      case 'opened':
        return running.listener.opened(reply.farm, reply.problems);
      case 'progress':
        return running.listener.progress(reply.progress);
      case 'first look':
        return running.listener.firstLook(reply.study);
      case 'result':
        return this.finish({ kind: 'result', study: reply.study });
      case 'refused':
        return this.finish({ kind: 'refused', problems: reply.problems });
      case 'stopped':
        return this.finish({ kind: 'stopped' });
      case 'broken':
        return this.finish({ kind: 'broken', text: reply.text });
    }
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
