import type { Progress } from './step.ts';

/** The progress of one part of a whole, which goes from 0 to 1. */
export function* portion<T>(
  work: Generator<Progress, T, void>,
  from: number,
  to: number,
): Generator<Progress, T, void> {
  for (;;) {
    const step = work.next();
    if (step.done) return step.value;
    const [done, total] = step.value;
    yield [from + (total > 0 ? (done / total) * (to - from) : 0), 1];
  }
}
