/** The page's end of the review's worker. Every question is answered once, stopped, or broken. */
import type { Progress } from '../protocol.ts';
import type { ReviewAnswers, ReviewAsk, ReviewAsks, ReviewReply, ReviewRequest } from './protocol.ts';

/** As much of a Worker as is used. */
export interface ReviewPort {
  postMessage(request: ReviewRequest): void;
  terminate(): void;
  onmessage: ((event: MessageEvent<ReviewReply>) => void) | null;
  onerror: ((event: ErrorEvent) => void) | null;
}

interface Asked {
  readonly onProgress: (progress: Progress) => void;
  give(answer: unknown): void;
  fail(error: Error): void;
}

export class ReviewClient {
  private last = 0;
  private readonly asked = new Map<number, Asked>();

  constructor(private readonly port: ReviewPort) {
    port.onmessage = ({ data }) => this.hear(data);
    port.onerror = ({ message }) => this.breakOff(message || 'The worker could not be started.');
  }

  /** @returns null where it was stopped. Rejects only where something in the program went wrong. */
  ask<K extends ReviewAsk>(
    what: K,
    ask: ReviewAsks[K],
    onProgress: (progress: Progress) => void = () => undefined,
  ): Promise<{ readonly answer: ReviewAnswers[K] } | null> {
    const number = ++this.last;
    return new Promise((resolve, reject) => {
      const give = (answer: unknown) => resolve(answer as { answer: ReviewAnswers[K] } | null);
      this.asked.set(number, { onProgress, give, fail: reject });
      this.port.postMessage({ kind: 'ask', number, what, ask });
    });
  }

  /** Stops whatever is under way or waits. */
  stop(): void {
    for (const number of this.asked.keys()) this.port.postMessage({ kind: 'stop', number });
  }

  /** The worker ends at once, whatever it does; what was asked counts as stopped. */
  end(): void {
    this.port.terminate();
    for (const one of this.asked.values()) one.give(null);
    this.asked.clear();
  }

  private hear(reply: ReviewReply): void {
    const asked = this.asked.get(reply.number);
    if (!asked) return;
    if (reply.kind === 'progress') return asked.onProgress(reply.progress);
    this.asked.delete(reply.number);
    if (reply.kind === 'answer') asked.give({ answer: reply.answer });
    else if (reply.kind === 'stopped') asked.give(null);
    else asked.fail(new Error(reply.text));
  }

  private breakOff(text: string): void {
    for (const one of this.asked.values()) one.fail(new Error(text));
    this.asked.clear();
  }
}

export function startReview(): ReviewClient {
  return new ReviewClient(
    new Worker(new URL('./review.worker.ts', import.meta.url), { type: 'module', name: 'review' }),
  );
}
