/** A base map that the person switched on: its address is typed, kept on this machine, and told to the service worker, which alone fetches it. */
import { problem, type Problem } from '../../shared/model/problem.ts';
import { BASE_MAP_PATH, checkAddress } from '../worker/base-map-address.ts';
import type { ToServiceWorker } from '../worker/service-worker.ts';

const KEPT_AS = 'seedfall.base-map';
/** A service worker that was just installed has the page in hand after so long, or not at all. */
const PATIENCE_MS = 5000;

export class BaseMap {
  private typed = $state<string | null>(null);
  private isHeard = $state(false);

  /** @param base address of the page's folder */
  constructor(
    private readonly kept: Pick<Storage, 'getItem' | 'setItem' | 'removeItem'> | null,
    private readonly base: string,
    private readonly tell: (message: ToServiceWorker) => Promise<boolean> = tellServiceWorker,
  ) {
    const before = kept?.getItem(KEPT_AS) ?? null;
    if (before !== null && checkAddress(before).ok) this.typed = before;
  }

  /** The address as typed; null where no base map is switched on. */
  get address(): string | null {
    return this.typed;
  }
  /** The server that tiles come from. */
  get server(): string | null {
    return this.typed === null ? null : new URL(this.typed).host;
  }
  /** What the map asks for, of this page's own origin; null until the service worker knows the address. */
  get tileUrl(): string | null {
    return this.typed !== null && this.isHeard ? `${this.base}${BASE_MAP_PATH}{z}/{x}/{y}` : null;
  }

  /** Tells the service worker what was switched on last time. */
  async start(): Promise<void> {
    if (this.typed !== null) this.isHeard = await this.tell({ kind: 'base map', address: this.typed });
  }

  /** @returns why the address cannot be used */
  async set(typed: string): Promise<Problem | null> {
    const checked = checkAddress(typed);
    if (!checked.ok) return problem('error', 'base-map-address', checked.text, { hint: checked.hint });
    this.typed = null;
    this.isHeard = await this.tell({ kind: 'base map', address: checked.address });
    if (!this.isHeard) {
      return problem('error', 'base-map-unavailable', 'A base map from an address cannot be shown in this tab.', {
        hint: 'The browser must let this page keep itself for work without a network. Reload the page once, or use a map file.',
      });
    }
    this.typed = checked.address;
    this.kept?.setItem(KEPT_AS, checked.address);
    return null;
  }

  /** Switched off: the address is forgotten here and in the service worker. */
  async clear(): Promise<void> {
    this.typed = null;
    this.isHeard = false;
    this.kept?.removeItem(KEPT_AS);
    await this.tell({ kind: 'base map', address: null });
  }
}

/** @returns whether a service worker that has this page in hand heard it */
async function tellServiceWorker(message: ToServiceWorker): Promise<boolean> {
  const controller = await controllerOfPage();
  if (!controller) return false;
  const { port1, port2 } = new MessageChannel();
  const heard = new Promise<boolean>((resolve) => {
    port1.onmessage = () => resolve(true);
    setTimeout(() => resolve(false), PATIENCE_MS);
  });
  controller.postMessage(message, [port2]);
  return heard;
}

function controllerOfPage(): Promise<ServiceWorker | null> {
  const container = 'serviceWorker' in navigator ? navigator.serviceWorker : null;
  if (!container || container.controller) return Promise.resolve(container?.controller ?? null);
  return new Promise((resolve) => {
    container.addEventListener('controllerchange', () => resolve(container.controller), { once: true });
    setTimeout(() => resolve(container.controller), PATIENCE_MS);
  });
}
