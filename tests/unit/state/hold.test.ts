// @vitest-environment happy-dom
import { describe, expect, it } from 'vitest';
import { Hold, type Neighborhood } from '../../../src/state/hold.ts';

type Granted = (lock: Lock | null) => unknown;

/** Locks that are granted only after a while, as on a busy machine; `taken` names those that another tab has. */
function slowLocks(afterMs: number, taken: readonly string[] = []): Neighborhood {
  const request = (name: string, options: LockOptions, granted: Granted) =>
    new Promise((done, fail) => {
      const timer = setTimeout(() => {
        if (!taken.includes(name)) done(granted({ name, mode: 'exclusive' } as Lock));
        else if (options.ifAvailable) done(granted(null));
      }, afterMs);
      options.signal?.addEventListener('abort', () => {
        clearTimeout(timer);
        fail(options.signal!.reason);
      });
    });
  return { locks: { request, query: async () => ({}) } as unknown as Neighborhood['locks'], channel: null };
}

describe('one tab writes a farm', () => {
  it('takes a farm that nobody has, also where the browser is slow to say so', async () => {
    expect(await new Hold(slowLocks(10)).take('west')).toBe(true);
    expect(await new Hold(slowLocks(600)).take('west')).toBe(true);
  });

  it('only looks at a farm that another tab has', async () => {
    expect(await new Hold(slowLocks(10, ['seedfall farm west'])).take('west')).toBe(false);
    expect(await new Hold(slowLocks(600, ['seedfall farm west'])).take('west')).toBe(false);
  });
});
