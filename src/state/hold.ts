/**
 * One tab writes a farm at a time. The tab that holds a farm has its lock; another one may look, or ask for it. Tabs talk over a
 * channel so that the one that gives a farm up saves first.
 */

interface Message {
  readonly kind: 'let go' | 'farms changed';
  readonly farm: string;
}

/** As much of `navigator.locks` and of a BroadcastChannel as is used; null where the browser has none. */
export interface Neighborhood {
  readonly locks: Pick<LockManager, 'request' | 'query'> | null;
  readonly channel: Pick<BroadcastChannel, 'postMessage' | 'addEventListener'> | null;
}

const A_MOMENT_MS = 1000;
/** A tab that was asked politely has so long to save. */
const PATIENCE_MS = 3000;

export class Hold {
  /** Another tab wants the farm: what is not saved is saved before this resolves. */
  onAsked: (farm: string) => Promise<void> = () => Promise.resolve();
  /** The farm is another tab's now. */
  onLost: (farm: string) => void = () => undefined;
  /** Another tab created, saved or deleted a farm. */
  onFarmsChanged: () => void = () => undefined;
  private held: { readonly farm: string; release(): void } | null = null;

  constructor(private readonly near: Neighborhood = neighborhood()) {
    near.channel?.addEventListener('message', ({ data }: MessageEvent<Message>) => {
      if (data.kind === 'farms changed') this.onFarmsChanged();
      else if (this.held?.farm === data.farm) void this.giveUp(data.farm);
    });
  }

  /** Holds the farm instead of the one held before. @returns false where another tab has it */
  async take(farm: string): Promise<boolean> {
    if (this.held?.farm === farm) return true;
    this.release();
    if (await this.request(farm, { ifAvailable: true })) return true;
    // A tab that is being reloaded gives its lock back a moment late; a busy machine may take longer to give a free one.
    const inTime = { signal: AbortSignal.timeout(A_MOMENT_MS) };
    return (await this.request(farm, inTime).catch(() => false)) || this.request(farm, { ifAvailable: true });
  }

  /** Asks the tab that has it, and takes it by force where that tab does not answer. */
  async takeOver(farm: string): Promise<void> {
    this.release();
    this.near.channel?.postMessage({ kind: 'let go', farm } satisfies Message);
    const patience = AbortSignal.timeout(PATIENCE_MS);
    if (!(await this.request(farm, { signal: patience }).catch(() => false))) await this.request(farm, { steal: true });
  }

  async isElsewhere(farm: string): Promise<boolean> {
    if (this.held?.farm === farm) return false;
    const held = (await this.near.locks?.query())?.held ?? [];
    return held.some((one) => one.name === nameOf(farm));
  }

  tellFarmsChanged(farm: string): void {
    this.near.channel?.postMessage({ kind: 'farms changed', farm } satisfies Message);
  }

  release(): void {
    this.held?.release();
    this.held = null;
  }

  private async giveUp(farm: string): Promise<void> {
    await this.onAsked(farm);
    if (this.held?.farm !== farm) return;
    this.release();
    this.onLost(farm);
  }

  private request(farm: string, options: LockOptions): Promise<boolean> {
    const { locks } = this.near;
    if (!locks) {
      this.held = { farm, release: () => undefined };
      return Promise.resolve(true);
    }
    return new Promise<boolean>((answer, fail) => {
      let granted = false;
      const holding = locks.request(nameOf(farm), options, (lock) => {
        if (!lock) return answer(false);
        granted = true;
        return new Promise<void>((release) => {
          this.held = { farm, release };
          answer(true);
        });
      });
      holding.catch((error: unknown) => {
        if (!granted) return fail(error);
        // Stolen: this tab did not hear in time that another one wanted it.
        if (this.held?.farm !== farm) return;
        this.held = null;
        this.onLost(farm);
      });
    });
  }
}

function nameOf(farm: string): string {
  return `seedfall farm ${farm}`;
}

function neighborhood(): Neighborhood {
  return {
    locks: navigator.locks ?? null,
    channel: typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel('seedfall'),
  };
}
