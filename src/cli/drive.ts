/** Drives a generator to its end; on a terminal, says on stderr how far it is, at most a few times a second. */
import type { Host } from './host.ts';

const EVERY_MS = 200;

export function drive<P, T>(host: Host, work: Generator<P, T, void>, say: (progress: P) => string): T {
  let last = 0;
  let shown = 0;
  for (;;) {
    const turn = work.next();
    if (turn.done) {
      if (shown > 0) host.err(`\r${' '.repeat(shown)}\r`);
      return turn.value;
    }
    if (!host.showsProgress) continue;
    const now = Date.now();
    if (now - last < EVERY_MS) continue;
    last = now;
    const text = say(turn.value).slice(0, 100);
    host.err(`\r${text.padEnd(shown)}`);
    shown = text.length;
  }
}

export function percent(done: number, total: number): string {
  return total > 0 ? `${Math.min(100, Math.floor((100 * done) / total))}%` : '';
}
