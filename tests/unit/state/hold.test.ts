import { describe, expect, it } from 'vitest';
import { Hold, type Neighborhood } from '../../../src/state/hold.ts';

/** Locks and a channel as a browser has them, for as many tabs as a test wants. */
class Street {
  private readonly held = new Map<string, { give(): void; steal(): void }>();
  private readonly queue: { name: string; go(): void }[] = [];
  private readonly ears: { ear(event: MessageEvent): void; tab: object }[] = [];

  tab(isDeaf = false): Neighborhood {
    const tab = {};
    const request = (
      name: string,
      options: LockOptions,
      work: (lock: object | null) => Promise<unknown>,
    ): Promise<unknown> =>
      new Promise((give, fail) => {
        const go = () => {
          const end = () => {
            this.held.delete(name);
            const next = this.queue.findIndex((one) => one.name === name);
            if (next >= 0) this.queue.splice(next, 1)[0]!.go();
          };
          const mine = { give: end, steal: () => fail(new DOMException('stolen', 'AbortError')) };
          this.held.set(name, mine);
          void work({})
            .then(() => this.held.get(name) === mine && end())
            .then(give);
        };
        if (options.steal) {
          const before = this.held.get(name);
          this.held.delete(name);
          before?.steal();
          return go();
        }
        if (!this.held.has(name)) return go();
        if (options.ifAvailable) return give(work(null));
        const waiting = { name, go };
        this.queue.push(waiting);
        options.signal?.addEventListener('abort', () => {
          const at = this.queue.indexOf(waiting);
          if (at >= 0) this.queue.splice(at, 1);
          fail(options.signal!.reason as Error);
        });
      });
    return {
      locks: {
        request: request as never,
        query: () => Promise.resolve({ held: [...this.held.keys()].map((name) => ({ name })), pending: [] } as never),
      },
      channel: {
        addEventListener: (_name: string, ear: unknown) => {
          if (!isDeaf) this.ears.push({ ear: ear as (event: MessageEvent) => void, tab });
        },
        postMessage: (data: unknown) =>
          this.ears.filter((one) => one.tab !== tab).forEach(({ ear }) => ear({ data } as MessageEvent)),
      } as never,
    };
  }
}

describe('the hold on a farm', () => {
  it('is one tab’s, until that tab lets go', async () => {
    const street = new Street();
    const [first, second] = [new Hold(street.tab()), new Hold(street.tab())];
    expect(await first.take('ash')).toBe(true);
    expect(await first.take('ash')).toBe(true);
    expect(await second.take('ash')).toBe(false);
    expect([await first.isElsewhere('ash'), await second.isElsewhere('ash')]).toEqual([false, true]);
    expect(await second.take('birch')).toBe(true);
    first.release();
    expect(await second.take('ash')).toBe(true);
    // One farm at a time: the other was let go.
    expect(await first.take('birch')).toBe(true);
  });

  it('is given up when another tab asks, after what is not saved was saved', async () => {
    const street = new Street();
    const [first, second] = [new Hold(street.tab()), new Hold(street.tab())];
    const told: string[] = [];
    first.onAsked = async (farm) => {
      await Promise.resolve();
      told.push(`saved ${farm}`);
    };
    first.onLost = (farm) => void told.push(`lost ${farm}`);
    await first.take('ash');
    await second.takeOver('ash');
    told.push('taken');
    expect(told).toEqual(['saved ash', 'lost ash', 'taken']);
    expect(await first.take('ash')).toBe(false);
  });

  it('is taken by force from a tab that does not answer, which hears of it', async () => {
    const street = new Street();
    const [deaf, second] = [new Hold(street.tab(true)), new Hold(street.tab())];
    const lost: string[] = [];
    deaf.onLost = (farm) => void lost.push(farm);
    await deaf.take('ash');
    await second.takeOver('ash');
    await Promise.resolve();
    expect(lost).toEqual(['ash']);
    expect(await second.isElsewhere('ash')).toBe(false);
  }, 10_000);

  it('is always had where the browser has no locks', async () => {
    const hold = new Hold({ locks: null, channel: null });
    expect([await hold.take('ash'), await hold.isElsewhere('ash')]).toEqual([true, false]);
  });

  it('is had where it is free, also where the browser is slow to say so', async () => {
    const slow = (granted: (lock: object) => Promise<unknown>) =>
      new Promise((done) => setTimeout(() => done(granted({})), 1500));
    const request = (_name: string, _options: LockOptions, granted: (lock: object) => Promise<unknown>) =>
      slow(granted);
    expect(await new Hold({ locks: { request, query: null } as never, channel: null }).take('ash')).toBe(true);
  });
});
