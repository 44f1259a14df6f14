import { expect } from 'vitest';

/** Two numbers agree within an absolute tolerance; `because` says why the tolerance is that large. */
export function closeTo(
  actual: number,
  expected: number,
  { within, because }: { within: number; because: string },
): void {
  const difference = Math.abs(actual - expected);
  if (!(difference <= within) && actual !== expected) {
    expect.fail(`expected ${actual} to be ${expected} within ${within} (${because}); it is off by ${difference}`);
  }
}
