/** Whether the page works without a network, whether a newer version waits, and whether it can be installed. */
import type { ToServiceWorker } from '../worker/service-worker.ts';

export type Readiness =
  /** The page is served by a tool for developers, or the browser has no such thing here. */
  | 'not possible'
  /** The files of the page are being kept. */
  | 'preparing'
  | 'ready';

/** What browsers that install pages tell. */
interface InstallEvent extends Event {
  prompt(): Promise<unknown>;
}

export class Offline {
  private ready = $state<Readiness>('not possible');
  private waiting = $state.raw<ServiceWorker | null>(null);
  private installing = $state.raw<InstallEvent | null>(null);

  get readiness(): Readiness {
    return this.ready;
  }
  /** A newer version of the page is here and is used when the person says so, or when every tab was closed. */
  get hasNewVersion(): boolean {
    return this.waiting !== null;
  }
  get canInstall(): boolean {
    return this.installing !== null;
  }

  /** @param address of the service worker; null where there is none */
  async start(address: string | null): Promise<void> {
    globalThis.addEventListener('beforeinstallprompt', (event) => {
      event.preventDefault();
      this.installing = event as InstallEvent;
    });
    globalThis.addEventListener('appinstalled', () => (this.installing = null));
    if (address === null || !('serviceWorker' in navigator)) return;
    try {
      const registration = await navigator.serviceWorker.register(address);
      this.ready = registration.active ? 'ready' : 'preparing';
      this.follow(registration);
      registration.addEventListener('updatefound', () => this.follow(registration));
    } catch {
      this.ready = 'not possible';
    }
  }

  /** @param before what must be done before the page is loaded again */
  async useNewVersion(before: () => Promise<void>): Promise<void> {
    const { waiting } = this;
    if (!waiting) return;
    await before();
    navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true });
    waiting.postMessage({ kind: 'use this version' } satisfies ToServiceWorker);
  }

  install(): void {
    void this.installing?.prompt();
    this.installing = null;
  }

  private follow(registration: ServiceWorkerRegistration): void {
    this.take(registration);
    const { installing } = registration;
    installing?.addEventListener('statechange', () => this.take(registration));
  }

  private take({ active, waiting }: ServiceWorkerRegistration): void {
    if (active) this.ready = 'ready';
    // The first one of all waits for nobody.
    this.waiting = active && waiting ? waiting : null;
  }
}
