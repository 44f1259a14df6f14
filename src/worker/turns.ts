/** Drives a study's generator and gives the event loop a turn every so often, so that a stop can come in between. */

/** Long enough to be cheap, short enough that a stop is heard at once. */
export const TURN_EVERY_MS = 12;

export interface Turns<P> {
  /** Asked after each turn; true ends the work by its `return()`. */
  stopped(): boolean;
  /** Called at every step of the work: cheap, please. */
  onProgress(progress: P): void;
  /** Milliseconds of any steady clock. */
  now(): number;
  /** Resolves when the messages that wait have been heard. */
  turn(): Promise<void>;
}

/** @returns what the work gives, or null where it was stopped. */
export async function driveInTurns<P, T>(work: Generator<P, T, void>, turns: Turns<P>): Promise<T | null> {
  let last = turns.now();
  for (;;) {
    const step = work.next();
    if (step.done) return step.value;
    turns.onProgress(step.value);
    if (turns.now() - last < TURN_EVERY_MS) continue;
    await turns.turn();
    last = turns.now();
    if (turns.stopped()) {
      work.return(undefined as T);
      return null;
    }
  }
}

/** A turn by a message to oneself: a timer would be held back to 4 ms each. */
export function messageTurn(): () => Promise<void> {
  const { port1, port2 } = new MessageChannel();
  const waiting: (() => void)[] = [];
  port1.onmessage = () => waiting.shift()?.();
  return () =>
    new Promise((resolve) => {
      waiting.push(resolve);
      port2.postMessage(null);
    });
}
