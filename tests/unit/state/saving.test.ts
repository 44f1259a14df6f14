// @vitest-environment happy-dom
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Saving } from '../../../src/state/saving.svelte.ts';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

/** A store that takes what lies on the desk; the test says when it is done. */
function desk() {
  const state = { document: 'A', kept: [] as string[], fails: null as Error | null, asked: 0 };
  const saving = new Saving(
    () => {
      const document = state.document;
      return async () => {
        if (state.fails) throw state.fails;
        state.kept.push(document);
      };
    },
    () => Promise.resolve(++state.asked === 1),
    () => 1000,
  );
  return { state, saving };
}

describe('saving', () => {
  it('follows an edit within 300 ms, several in a row as one', async () => {
    const { state, saving } = desk();
    saving.note();
    expect([saving.state.is, saving.isPending]).toEqual(['saving', true]);
    state.document = 'B';
    saving.note();
    await vi.advanceTimersByTimeAsync(300);
    expect(state.kept).toEqual(['B']);
    expect([saving.state, saving.isPending]).toEqual([{ is: 'saved', at: 1000 }, false]);
  });

  it('asks once that the browser keep what is stored, and remembers the answer', async () => {
    const { state, saving } = desk();
    expect(saving.isPromised).toBeNull();
    for (let n = 0; n < 3; n++) {
      saving.note();
      await vi.advanceTimersByTimeAsync(300);
    }
    expect([state.asked, saving.isPromised]).toEqual([1, true]);
  });

  it('keeps what lay on the desk when it was flushed, also where another farm is laid there at once', async () => {
    const { state, saving } = desk();
    saving.note();
    const flushed = saving.flush();
    state.document = 'another farm';
    await flushed;
    expect(state.kept).toEqual(['A']);
  });

  it('keeps no document before the files that it names, and waits for them before another farm is laid there', async () => {
    const { state, saving } = desk();
    saving.begin(null, true);
    saving.note();
    await vi.advanceTimersByTimeAsync(5000);
    expect([saving.state.is, saving.isPending, state.kept]).toEqual(['saving', true, []]);
    let left = false;
    const leaving = saving.finish().then(() => (left = true));
    await vi.advanceTimersByTimeAsync(1000);
    expect(left).toBe(false);
    saving.tellFilesKept([]);
    await leaving;
    expect([saving.state.is, state.kept]).toEqual(['saved', ['A']]);
  });

  it('says why it failed and what to do, and tries again when asked', async () => {
    const { state, saving } = desk();
    state.fails = new DOMException('no room', 'QuotaExceededError');
    saving.note();
    await vi.advanceTimersByTimeAsync(300);
    expect(saving.state).toMatchObject({ is: 'not saved', problem: { code: 'storage-full' } });
    state.fails = new Error('switched off');
    saving.again();
    await vi.advanceTimersByTimeAsync(300);
    expect(saving.state).toMatchObject({ is: 'not saved', problem: { code: 'storage-refused' } });
    expect(saving.isPending).toBe(true);
    state.fails = null;
    saving.again();
    await vi.advanceTimersByTimeAsync(300);
    expect([saving.state.is, state.kept]).toEqual(['saved', ['A']]);
  });
});
