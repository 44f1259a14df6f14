import { describe, expect, it } from 'vitest';
import { driveInTurns, TURN_EVERY_MS } from '../../../src/worker/turns.ts';

/** Work that counts to n and tells whether it was left to its end or closed by return(). */
function counting(n: number) {
  const state = { closed: false, reached: 0 };
  function* count(): Generator<number, string, void> {
    try {
      for (let i = 1; i <= n; i++) {
        state.reached = i;
        yield i;
      }
      return 'counted';
    } finally {
      state.closed = true;
    }
  }
  return { state, work: count() };
}

/** A clock that goes on by a step at each look. */
function clockOf(stepMs: number) {
  let time = 0;
  return () => (time += stepMs);
}

describe('driving work in turns', () => {
  it('gives what the work gives, having heard every step', async () => {
    const { work } = counting(5);
    const heard: number[] = [];
    const given = await driveInTurns(work, {
      stopped: () => false,
      now: clockOf(1),
      turn: () => Promise.resolve(),
      onProgress: (one) => heard.push(one),
    });
    expect(given).toBe('counted');
    expect(heard).toEqual([1, 2, 3, 4, 5]);
  });

  it('takes a turn about every 12 ms, not at every step', async () => {
    const { work } = counting(1000);
    let turns = 0;
    await driveInTurns(work, {
      stopped: () => false,
      now: clockOf(1),
      turn: () => Promise.resolve(void turns++),
      onProgress: () => undefined,
    });
    // Each turn costs one look at the clock more.
    expect(turns).toBe(Math.floor(1000 / TURN_EVERY_MS));
  });

  it('closes the work by return() at the next turn after a stop, and gives null', async () => {
    const { work, state } = counting(1000);
    let stopped = false;
    const given = await driveInTurns(work, {
      stopped: () => stopped,
      now: clockOf(TURN_EVERY_MS),
      turn: () => Promise.resolve(void (stopped = state.reached >= 10)),
      onProgress: () => undefined,
    });
    expect(given).toBeNull();
    expect(state).toEqual({ closed: true, reached: 10 });
  });
});
