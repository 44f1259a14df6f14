/** The page's end of the worker: one piece of work at a time, stopped by `return()`; the latest request wins, by its number. */
import type { Study } from '../../shared/analysis/study.ts';
import type { Farm } from '../../shared/model/farm.ts';
import type { Problem } from '../../shared/model/problem.ts';
import type { Progress, Reply, Request } from './protocol.ts';

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

export class CoreClient {
  private last = 0;
  private running: Running | null = null;

  constructor(private readonly port: WorkerPort) {
    port.onmessage = ({ data }) => this.hear(data);
    port.onerror = (event) => {
      const { message } = event;
      this.finish({ kind: 'broken', text: message || 'The worker could not be started.' });
    };
  }

  /** Opens a farm file and studies it; its bytes are handed over. */
  open(name: string, bytes: ArrayBuffer, listener: Listener): Work {
    return this.ask((number) => ({ kind: 'open', number, name, bytes }), listener, [bytes]);
  }

  /** Studies the open farm again; what is known already is reused. */
  resume(listener: Listener): Work {
    return this.ask((number) => ({ kind: 'resume', number }), listener);
  }

  private ask(request: (number: number) => Request, listener: Listener, transfer: Transferable[] = []): Work {
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
    const { running } = this;
    if (running?.number !== reply.number) return;
    switch (reply.kind) {
      case 'opened':
        running.listener.opened(reply.farm, reply.problems);
        break;
      case 'progress':
        running.listener.progress(reply.progress);
        break;
      case 'result':
        this.finish({ kind: 'result', study: reply.study });
        break;
      case 'refused':
        this.finish({ kind: 'refused', problems: reply.problems });
        break;
      case 'stopped':
        this.finish({ kind: 'stopped' });
        break;
      case 'broken':
        this.finish({ kind: 'broken', text: reply.text });
        break;
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
