/**
 * The page without a network: its files are kept and served from here, first and always. A new version waits until the person takes
 * it. Nothing goes to another origin but tiles of a base map that was switched on.
 */
import { BASE_MAP_PATH, checkAddress, filled, tileIn } from './base-map-address.ts';

/** The build writes both: every file of the page, and a hash of them all. */
declare const PAGE_FILES: readonly string[];
declare const PAGE_HASH: string;

interface LaterEvent extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface AskedEvent extends LaterEvent {
  readonly request: Request;
  respondWith(response: Promise<Response>): void;
}
interface ToldEvent extends LaterEvent {
  readonly data: ToServiceWorker;
  readonly ports: readonly MessagePort[];
}
interface ServiceScope {
  readonly registration: { readonly scope: string };
  readonly clients: { claim(): Promise<void> };
  skipWaiting(): Promise<void>;
  addEventListener(name: 'install' | 'activate', listener: (event: LaterEvent) => void): void;
  addEventListener(name: 'fetch', listener: (event: AskedEvent) => void): void;
  addEventListener(name: 'message', listener: (event: ToldEvent) => void): void;
}

export type ToServiceWorker =
  /** null: switched off, and forgotten. */
  { readonly kind: 'base map'; readonly address: string | null } | { readonly kind: 'use this version' };

const worker = self as unknown as ServiceScope;
const { scope } = worker.registration;
const FAMILY = 'seedfall-page-';
const CACHE = FAMILY + PAGE_HASH;
/** Outlives versions. */
const WISHES = 'seedfall-wishes';
const ADDRESS = new URL(`${BASE_MAP_PATH}address`, scope).href;

worker.addEventListener('install', (event) => event.waitUntil(keepFiles()));
worker.addEventListener('activate', (event) => event.waitUntil(takePlace()));
worker.addEventListener('message', (event) => event.waitUntil(told(event)));
worker.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || !request.url.startsWith(scope)) return;
  event.respondWith(url.pathname.includes(`/${BASE_MAP_PATH}`) ? tile(url) : file(request));
});

async function keepFiles(): Promise<void> {
  const cache = await caches.open(CACHE);
  // A file that the browser has already is not fetched again, only asked after.
  await cache.addAll(PAGE_FILES.map((name) => new Request(new URL(name, scope), { cache: 'no-cache' })));
}

async function takePlace(): Promise<void> {
  const names = await caches.keys();
  await Promise.all(
    names.filter((name) => name.startsWith(FAMILY) && name !== CACHE).map((name) => caches.delete(name)),
  );
  await worker.clients.claim();
}

async function file(request: Request): Promise<Response> {
  const cache = await caches.open(CACHE);
  const kept = (wanted: Request | string) => cache.match(wanted, { ignoreSearch: true, ignoreVary: true });
  // A file that is opened by its own address is that file; any other address is the page.
  return (await kept(request)) ?? (request.mode === 'navigate' ? await kept(scope) : undefined) ?? fetch(request);
}

async function told({ data, ports }: ToldEvent): Promise<void> {
  if (data.kind === 'use this version') return worker.skipWaiting();
  const wishes = await caches.open(WISHES);
  if (data.address === null) await wishes.delete(ADDRESS);
  else await wishes.put(ADDRESS, new Response(data.address));
  ports[0]?.postMessage('heard');
}

/** From the one origin that was switched on, without cookies and without saying which page asks; nowhere else, also not by a detour. */
async function tile(url: URL): Promise<Response> {
  const wanted = tileIn(url.pathname);
  const typed = await (await caches.open(WISHES)).match(ADDRESS);
  const checked = typed ? checkAddress(await typed.text()) : null;
  if (!wanted || !checked?.ok) return new Response(null, { status: 404 });
  try {
    const { body, headers, status } = await fetch(filled(checked.address, wanted), {
      mode: 'cors',
      credentials: 'omit',
      referrerPolicy: 'no-referrer',
      redirect: 'error',
    });
    // Made anew, so that it is this origin's: the page takes nothing from another one.
    return new Response(body, { status, headers: { 'Content-Type': headers.get('Content-Type') ?? 'image/png' } });
  } catch {
    return new Response(null, { status: 502 });
  }
}
